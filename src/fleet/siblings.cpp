// SPDX-License-Identifier: Apache-2.0
// A moderated t with median and Qn of the others: robust, and honest with few.
#include "fleet/siblings.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "fleet/trend_words.hpp"
#include "numeric/distributions.hpp"
#include "numeric/false_discovery.hpp"
#include "numeric/scale_qn.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

/// How sound vehicles of one kind differ, and what is no more than that: thermostats may begin to
/// open within 3 °C of their rating (TM 5-3825-229-14&P), evenly spread: 3/√3 K; the rest is common
/// practice, no source.
struct SiblingHabits {
  double spread = 1.0;
  double least = 1.0;
};
const SiblingHabits& sibling_habits(Measure measure) {
  static constexpr std::array<SiblingHabits, k_measures> k_habits{{
      {1.7, 3.0},  // level
      {2.0, 3.0},  // level at load
      {0.3, 0.4},  // spread
      {1.7, 3.0},  // opening
      {0.2, 0.26}, // warm-up
      {2.5, 4.0},  // hottest idle
  }};
  return k_habits.at(static_cast<std::size_t>(measure));
}
/// That is known as well as from so many more vehicles (judgement).
constexpr double k_habit_freedom = 8.0;

double moderated_spread(double usual, double freedom, double qn) {
  return std::sqrt((k_habit_freedom * usual * usual + freedom * qn * qn) /
                   (k_habit_freedom + freedom));
}

SiblingDistance distance_of(Measure measure, double value, const std::vector<double>& others) {
  const SiblingHabits& habits = sibling_habits(measure);
  SiblingDistance distance;
  distance.measure = measure;
  distance.others = others.size();
  distance.usual = median(others);
  distance.distance = value - distance.usual;
  const double freedom = qn_freedom(others.size());
  distance.spread = moderated_spread(habits.spread, freedom, qn_scale(others));
  const double of_median = std::numbers::pi / (2.0 * static_cast<double>(others.size()));
  const double t = std::abs(distance.distance) / (distance.spread * std::sqrt(1.0 + of_median));
  if (std::abs(distance.distance) >= habits.least)
    distance.p = 2.0 * student_t_cdf(-t, k_habit_freedom + freedom);
  return distance;
}

std::vector<double> levels_of_others(std::span<const SiblingLevels> vehicles, std::size_t self,
                                     Measure measure) {
  const auto m = static_cast<std::size_t>(measure);
  std::vector<double> levels;
  for (std::size_t i = 0; i < vehicles.size(); ++i) {
    const bool sibling = i != self && vehicles[i].group == vehicles[self].group;
    if (sibling && vehicles[i].levels.at(m)) levels.push_back(*vehicles[i].levels.at(m));
  }
  return levels;
}

AmongSiblings compare(std::span<const SiblingLevels> vehicles, std::size_t self) {
  AmongSiblings among;
  if (vehicles[self].group.empty()) return among;
  double least = 1.0;
  for (const Measure measure : all_measures()) {
    const auto& level = vehicles[self].levels.at(static_cast<std::size_t>(measure));
    if (!level) continue;
    const auto others = levels_of_others(vehicles, self, measure);
    if (others.size() + 1 < k_least_siblings) continue;
    among.distances.push_back(distance_of(measure, *level, others));
    least = std::min(least, among.distances.back().p);
  }
  const auto measures = static_cast<double>(among.distances.size());
  if (measures > 0.0) among.p = std::min(1.0, measures * least);
  return among;
}

std::string amount_of(const SiblingDistance& distance) {
  if (unit_of(distance.measure) == "°C")
    return fmt::format("{:.1f} K", std::abs(distance.distance));
  return fmt::format("{:.0f} %", 100.0 * std::abs(std::expm1(distance.distance)));
}

std::string usual_of(const SiblingDistance& distance) {
  switch (distance.measure) {
  case Measure::spread: return fmt::format("{:.1f} K", std::exp(distance.usual));
  case Measure::warm_up: return fmt::format("{:.0f} min", std::exp(distance.usual));
  default: return fmt::format("{:.1f} °C", distance.usual);
  }
}

} // namespace

std::string sibling_group(const VehicleProfile& profile) {
  const Json json = Json::parse(profile.json, nullptr, false);
  if (!json.is_object()) return {};
  if (const auto group = json.find("group"); group != json.end() && group->is_string())
    return group->get<std::string>();
  // Without regard to the order of keys.
  const nlohmann::json sorted = json;
  if (!sorted.contains("engine") && !sorted.contains("thermostat")) return {};
  std::string group;
  for (const char* part : {"engine", "thermostat", "cooling"})
    group += (sorted.contains(part) ? sorted.at(part).dump() : "?") + ' ';
  group.pop_back();
  return group;
}

SiblingLevels sibling_levels(std::string vehicle, std::string group,
                             std::span<const TripMeasures> trips) {
  SiblingLevels levels{std::move(vehicle), std::move(group), {}};
  for (const Measure measure : all_measures()) {
    std::vector<double> latest;
    for (auto trip = trips.rbegin(); trip != trips.rend() && latest.size() < k_sibling_trips;
         ++trip) {
      if (trip->unfit.empty() && trip->of(measure)) latest.push_back(trip->of(measure)->value);
    }
    if (latest.size() >= k_least_sibling_trips)
      levels.levels.at(static_cast<std::size_t>(measure)) = median(std::move(latest));
  }
  return levels;
}

std::vector<AmongSiblings> among_siblings(std::span<const SiblingLevels> vehicles) {
  std::vector<AmongSiblings> all;
  all.reserve(vehicles.size());
  for (std::size_t i = 0; i < vehicles.size(); ++i) all.push_back(compare(vehicles, i));
  return all;
}

FleetFinding odd_siblings(std::span<const AmongSiblings> vehicles, double false_share) {
  std::vector<double> p;
  p.reserve(vehicles.size());
  for (const AmongSiblings& vehicle : vehicles) p.push_back(vehicle.p);
  return finding_of(p, Dependence::arbitrary, false_share);
}

std::vector<SiblingDistance> believed(const AmongSiblings& vehicle, double level) {
  const auto measures = static_cast<double>(vehicle.distances.size());
  std::vector<SiblingDistance> told;
  std::copy_if(vehicle.distances.begin(), vehicle.distances.end(), std::back_inserter(told),
               [&](const SiblingDistance& distance) { return distance.p * measures <= level; });
  std::stable_sort(told.begin(), told.end(),
                   [](const SiblingDistance& a, const SiblingDistance& b) { return a.p < b.p; });
  return told;
}

std::string words_of(const SiblingDistance& distance) {
  return fmt::format("{} lies {} {} that of {} like vehicles ({})", subject_of(distance.measure),
                     amount_of(distance), distance.distance > 0.0 ? "above" : "below",
                     distance.others, usual_of(distance));
}

} // namespace coolband
