// SPDX-License-Identifier: Apache-2.0
// Words of the fleet's summary that text and page share.
#include "fleet/fleet_words.hpp"

#include "fleet/trend_words.hpp"
#include "report/layout.hpp"

#include <fmt/core.h>

namespace coolband {

std::string counted(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string fleet_size_words(const FleetCounts& counts) {
  return fmt::format("{}, {} in {}", counted(counts.vehicles, "vehicle"),
                     counted(counts.trips, "trip"), counted(counts.logs, "log"));
}

std::string action_words(Action action) {
  switch (action) {
  case Action::none: return "nothing to do";
  case Action::monitor: return "watch";
  case Action::service: return "check";
  case Action::stop: return "stop";
  }
  return "";
}

std::string fleet_state_words(const FleetCounts& counts) {
  const auto of = [&](Action action) { return counts.by_action[static_cast<std::size_t>(action)]; };
  std::vector<std::string> parts;
  const auto add = [&](std::size_t count, std::string_view words) {
    if (count > 0) parts.push_back(fmt::format("{} {}", count, words));
  };
  add(of(Action::stop), "to be stopped");
  add(of(Action::service), "to be checked");
  add(of(Action::monitor), "to be watched");
  add(of(Action::none), "with nothing to do");
  add(counts.not_judged, "not judged");
  return parts.empty() ? "no vehicle" : joined(parts, ", ");
}

std::string fleet_band_words(const FleetCounts& counts) {
  const auto of = [&](BandSource source) {
    return counts.by_band[static_cast<std::size_t>(source)];
  };
  std::vector<std::string> parts;
  if (of(BandSource::given) > 0) parts.push_back(fmt::format("{} given", of(BandSource::given)));
  if (of(BandSource::own) > 0)
    parts.push_back(fmt::format("{} learned from the vehicle's own trips", of(BandSource::own)));
  if (of(BandSource::none) > 0)
    parts.push_back(fmt::format("{} without", counted(of(BandSource::none), "vehicle")));
  return joined(parts, ", ");
}

std::string ground_words(const VehicleState& state) {
  std::string text;
  if (state.condition != Condition::undetermined)
    text = fmt::format("confidence {:.2f}; ", state.confidence);
  text += state.latest == 1
              ? "its only trip"
              : fmt::format("{} of the latest {} trips", state.as_grave, state.latest);
  if (state.boiling_margin_c)
    text += fmt::format("; {:.0f} K to boiling at the hottest", *state.boiling_margin_c);
  return text;
}

std::string change_words(const VehicleRecord& vehicle, std::size_t run) {
  switch (change_of(vehicle, run)) {
  case Change::none: return "";
  case Change::first_seen: return "new";
  case Change::worse: return "worse: was '" + vehicle.before->headline + "'";
  case Change::better: return "better: was '" + vehicle.before->headline + "'";
  case Change::other: return "other: was '" + vehicle.before->headline + "'";
  }
  return "";
}

std::string finding_words(const VehicleRecord& vehicle, const Outlook& outlook) {
  if (vehicle.state.action != Action::none || !outlook.listed()) return vehicle.state.headline;
  if (!outlook.siblings) return "its latest trips tell of no fault, but something creeps";
  if (!outlook.trend) return "its latest trips tell of no fault, but it is odd among its like";
  return "its latest trips tell of no fault, but something creeps, and it is odd among its like";
}

std::vector<std::string> creeping_words(const Outlook& outlook) {
  return outlook.trend ? trend_words(*outlook.trend, outlook.creeping) : std::vector<std::string>();
}

std::vector<std::string> odd_words(const Outlook& outlook) {
  std::vector<std::string> words;
  for (const SiblingDistance& distance : outlook.distances) words.push_back(words_of(distance));
  return words;
}

namespace {

/// Of those that are listed, so many are expected to be sound.
std::string false_share_words(std::size_t listed) {
  return listed == 0
             ? fmt::format("Benjamini & Hochberg at {:.0f} %", 100.0 * k_false_share)
             : fmt::format(
                   "Benjamini & Hochberg at {:.0f} %: of such vehicles at most one in {:.0f} is "
                   "expected to be sound",
                   100.0 * k_false_share, 1.0 / k_false_share);
}

} // namespace

std::string creeping_count_words(const OutlookCounts& counts) {
  if (counts.charted == 0) return "";
  return fmt::format("something creeps in {} of {} with a chart (CUSUM charts; {})",
                     counts.creeping, counted(counts.charted, "vehicle"),
                     false_share_words(counts.creeping));
}

std::string odd_count_words(const OutlookCounts& counts) {
  if (counts.compared == 0) return "";
  return fmt::format("odd among its like: {} of {} compared (distance from the others' median; {})",
                     counts.odd, counted(counts.compared, "vehicle"),
                     false_share_words(counts.odd));
}

std::string not_judged_words(const VehicleRecord& vehicle) {
  if (vehicle.state.trips > 0) return "";
  if (!vehicle.problems.empty()) return words_of(vehicle.problems.front());
  return "none of its logs could be used";
}

} // namespace coolband
