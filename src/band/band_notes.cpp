// SPDX-License-Identifier: Apache-2.0
// Notes and refusals in words, each with what would help.
#include "band/band_notes.hpp"

#include "band/levels.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

/// A sound system holds a couple of degrees; beyond twice that something may be wrong with all
/// drives, K (common practice, no source).
constexpr double k_unsteady_c = 4.0;
/// The published tolerance of the start of opening, K (TM 5-3825-229-14&P).
constexpr double k_opening_tolerance_c = 3.0;
/// Fewer drives leave the spread between them mostly to what is assumed of it.
constexpr std::size_t k_few_drives = 5;
/// A band that saw less than this of the outside air was learned in one season, K.
constexpr double k_one_season_c = 15.0;

void note_conditions(NormalBand& band) {
  if (!band.load_c_per_pct)
    band.notes.emplace_back("no load effect: the logs have no load that varies enough");
  if (!band.ambient_c_per_c) {
    band.notes.push_back(
        fmt::format("no ambient effect: it takes {:.0f} drives over {:.0f} K of outside "
                    "temperature",
                    k_drives_for_ambient, k_ambient_span_c));
  }
  const auto& seen = band.ambient_seen_c;
  if (seen && seen->high - seen->low < k_one_season_c) {
    band.notes.push_back(
        fmt::format("outside temperature was {:.0f} to {:.0f} °C only: drives of another season "
                    "would show what it does",
                    seen->low, seen->high));
  }
}

void note_drift(NormalBand& band) {
  if (!band.drift) return;
  band.notes.push_back(fmt::format(
      "the level has moved by {:+.1f} K since {} ({} drives; chance does this once in {:.0f} "
      "drives): the band is that of before. If the vehicle was serviced then, learn anew from that "
      "day with --since",
      band.drift->shift_c, band.drift->since, band.drift->drives, k_drives_to_false_alarm));
}

} // namespace

void add_notes(NormalBand& band, const std::optional<VehicleProfile>& profile) {
  const std::size_t drives = band.drive_count();
  if (drives < k_few_drives) {
    band.notes.push_back(fmt::format("rests on {} drive{}: ten or more would narrow it", drives,
                                     drives == 1 ? "" : "s"));
  }
  note_conditions(band);
  note_drift(band);
  if (band.within_c > k_unsteady_c) {
    band.notes.push_back(
        fmt::format("swings by {:.1f} K (1 s.d.) within a drive, more than a sound thermostat lets "
                    "it: the learned drives may all be faulty",
                    band.within_c));
  }
  if (is_restless(band.traits)) {
    band.notes.push_back(fmt::format(
        "its reading changes course by {:.1f} K from one ten seconds to the next in normal "
        "running, more than an engine's heat capacity lets coolant: sudden dips and the heat "
        "balance tell nothing here. Look at the sensor, its wiring and the logger",
        band.traits.roughness_k->value));
  }
  const auto rating = profile ? profile->thermostat_opens_c : std::nullopt;
  if (rating && band.centre_c < *rating - k_opening_tolerance_c) {
    band.notes.push_back(
        fmt::format("the centre lies {:.1f} K below the thermostat's rating of {:.0f} °C: the "
                    "learned drives may all be faulty",
                    *rating - band.centre_c, *rating));
  }
}

Error no_drive() {
  return {ErrorKind::input,
          {},
          "no drive to learn from",
          "",
          "give at least one log with 5 min of warm running"};
}

Error no_drive_since(const std::string& since) {
  return {ErrorKind::input,
          {},
          fmt::format("no drive to learn from: none of those given is from after {}", since),
          "",
          "give a log of a drive since then, or another day with --since"};
}

Error contradiction(const NormalBand& band) {
  std::string message = "the drives contradict each other, so none can be called normal:";
  for (const auto& drive : band.drives) {
    message += fmt::format(" {} runs at {:.1f} °C;", drive.source, drive.level_c);
  }
  for (const auto& left : band.left_out)
    message += fmt::format(" {} {};", left.drive.source, left.reason);
  message.pop_back();
  return {ErrorKind::input,
          {},
          message,
          "",
          "give more drives of normal running, or accept them with --keep-all"};
}

Error too_wide(const NormalBand& band) {
  return {ErrorKind::input,
          {},
          fmt::format("these drives give no usable band: {:.0f} °C give or take {:.0f} K",
                      band.centre_c, band.half_width_c),
          "",
          "give more drives of normal running"};
}

Error too_cold(const NormalBand& band) {
  return {ErrorKind::input,
          {},
          fmt::format("these drives run at {:.0f} °C, which no thermostat holds", band.centre_c),
          "",
          "give drives in which the engine ran warm, and check the unit with 'coolband inspect'"};
}

} // namespace coolband
