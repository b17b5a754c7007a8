// SPDX-License-Identifier: Apache-2.0
// What the picture of a band says in words.
#include "report/band_words.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string panel_words(const Panel& panel) {
  if (panel.content.empty()) return panel.heading + ": " + panel.empty + ". ";
  std::string words = panel.heading + ", from " +
                      fmt::format("{:.0f} to {:.0f}", panel.x.low, panel.x.high) +
                      (panel.is_load ? " %: " : " °C: ") + panel.effect + ". ";
  if (panel.content.without > 0) words += not_drawn(panel) + ". ";
  return words;
}

} // namespace

std::string plural(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string limits_words(const NormalBand& band) {
  return fmt::format("{:.1f} °C, from {:.1f} to {:.1f} °C", band.centre_c,
                     band.centre_c - band.half_width_c, band.centre_c + band.half_width_c);
}

std::string conditions_words(const NormalBand& band) {
  std::string words;
  if (band.load_c_per_pct && band.reference_load_pct)
    words += fmt::format("{:.0f} % load", *band.reference_load_pct);
  if (band.ambient_c_per_c && band.reference_ambient_c)
    words +=
        fmt::format("{}{:.0f} °C outside", words.empty() ? "" : " and ", *band.reference_ambient_c);
  return words.empty() ? "" : "at " + words;
}

std::string origin_words(const NormalBand& band) {
  switch (band.origin) {
  case BandOrigin::learned: break;
  case BandOrigin::profile: return "as the vehicle's profile states it";
  case BandOrigin::trip: return "of one trip by itself";
  }
  const std::size_t left_out = band.left_out.size() + band.left_out_before;
  return fmt::format("limits hold {:.0f} % of normal running with {:.0f} % confidence, learned "
                     "from {}",
                     100.0 * band.content, 100.0 * band.confidence,
                     plural(band.drive_count(), "drive")) +
         (left_out > 0 ? fmt::format("; {} left out", left_out) : "");
}

std::string not_drawn(const Panel& panel) {
  return fmt::format("not drawn: {} without {}", plural(panel.content.without, "drive"),
                     panel.condition);
}

std::string description_of(const NormalBand& band, const std::array<Panel, 2>& panels) {
  std::string words = "The normal coolant temperature is " + limits_words(band);
  const std::string conditions = conditions_words(band);
  if (!conditions.empty()) words += ", " + conditions;
  words += "; " + origin_words(band) + ". ";
  for (const Panel& panel : panels) words += panel_words(panel);
  for (const LeftOut& left : band.left_out)
    words += fmt::format("Left out: {}, {:.1f} °C. ", left.drive.source, left.drive.level_c);
  if (band.drift)
    words += fmt::format("Since {} the drives lie {:+.1f} K off ({}). ", band.drift->since,
                         band.drift->shift_c, plural(band.drift->drives, "drive"));
  words.pop_back();
  return words;
}

} // namespace coolband
