// SPDX-License-Identifier: Apache-2.0
// A moderated t with median and Qn of the others: robust, and honest with few.
#include "fleet/siblings.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "core/portable_math.hpp"
#include "fleet/trend_words.hpp"
#include "numeric/distributions.hpp"
#include "numeric/false_discovery.hpp"
#include "numeric/scale_qn.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>
#include <utility>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

/// How sound vehicles of one kind differ, and what is no more than that. Thermostats begin to open
/// within 2 K (makers' service texts) to 3 °C (TM 5-3825-229-14&P) of their rating, evenly spread
/// 1.2 to 1.7 K; the rest is common practice, no source.
struct SiblingHabits {
  double spread = 1.0;
  double least = 1.0;
};
const SiblingHabits& habits_of(Likeness likeness) {
  static constexpr std::array<SiblingHabits, k_likenesses> k_habits{{
      {1.5, 3.0},  // level
      {2.0, 3.0},  // level at load
      {0.2, 0.4},  // spread
      {1.5, 3.0},  // opening
      {0.2, 0.26}, // warm-up
      {2.2, 4.0},  // hottest idle
      {1.2, 3.0},  // rise at load
  }};
  return k_habits.at(static_cast<std::size_t>(likeness));
}
/// That is known as well as from so many more vehicles (judgement).
constexpr double k_habit_freedom = 20.0;

std::array<Likeness, k_likenesses> all_likenesses() {
  std::array<Likeness, k_likenesses> all{};
  for (std::size_t i = 0; i < all.size(); ++i) all.at(i) = static_cast<Likeness>(i);
  return all;
}

/// The measure that is compared as it is; none for `rise_at_load`.
std::optional<Measure> measure_of(Likeness likeness) {
  if (likeness == Likeness::rise_at_load) return std::nullopt;
  return static_cast<Measure>(likeness);
}

double moderated_spread(double usual, double freedom, double spread) {
  return std::sqrt((k_habit_freedom * usual * usual + freedom * spread * spread) /
                   (k_habit_freedom + freedom));
}

/// What the others tell.
struct Others {
  std::size_t count = 0;
  double median = 0.0;
  double spread = 0.0;
  double freedom = 0.0; ///< of the spread
};

/// Qn takes the square of their number; in a large group the MAD tells enough, and once for all.
constexpr std::size_t k_many = 60;
constexpr double k_mad_efficiency = 0.37;

Others few_others(const std::vector<double>& levels) {
  return {levels.size(), median(levels), qn_scale(levels), qn_freedom(levels.size())};
}

Others many_others(const std::vector<double>& levels) {
  const auto count = static_cast<double>(levels.size());
  return {levels.size() - 1, median(levels), mad_sigma(levels), k_mad_efficiency * count};
}

SiblingDistance distance_of(Likeness likeness, double value, const Others& others) {
  const SiblingHabits& habits = habits_of(likeness);
  SiblingDistance distance;
  distance.likeness = likeness;
  distance.others = others.count;
  distance.usual = others.median;
  distance.distance = value - others.median;
  distance.spread = moderated_spread(habits.spread, others.freedom, others.spread);
  const double of_median = std::numbers::pi / (2.0 * static_cast<double>(others.count));
  const double t = std::abs(distance.distance) / (distance.spread * std::sqrt(1.0 + of_median));
  if (std::abs(distance.distance) >= habits.least)
    distance.p = 2.0 * student_t_cdf(-t, k_habit_freedom + others.freedom);
  return distance;
}

/// The vehicles of one group that tell a likeness.
struct ToldGroup {
  std::vector<std::size_t> vehicles;
  std::vector<double> levels;
};

ToldGroup told_by(std::span<const SiblingLevels> vehicles, const std::vector<std::size_t>& group,
                  Likeness likeness) {
  ToldGroup told;
  for (const std::size_t i : group) {
    const auto& level = vehicles[i].levels.at(static_cast<std::size_t>(likeness));
    if (!level) continue;
    told.vehicles.push_back(i);
    told.levels.push_back(*level);
  }
  return told;
}

void compare(Likeness likeness, const ToldGroup& told, std::vector<AmongSiblings>& all) {
  if (told.levels.size() < k_least_siblings) return;
  const bool many = told.levels.size() > k_many;
  Others others = many ? many_others(told.levels) : Others{};
  for (std::size_t i = 0; i < told.levels.size(); ++i) {
    if (!many) {
      std::vector<double> rest = told.levels;
      rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
      others = few_others(rest);
    }
    all[told.vehicles[i]].distances.push_back(distance_of(likeness, told.levels[i], others));
  }
}

double chance_of(const AmongSiblings& vehicle) {
  double least = 1.0;
  for (const SiblingDistance& distance : vehicle.distances) least = std::min(least, distance.p);
  return std::min(1.0, least * static_cast<double>(vehicle.distances.size()));
}

std::string_view subject_of(Likeness likeness) {
  const auto measure = measure_of(likeness);
  return measure ? subject_of(*measure) : "the level at load above the thermostat's opening";
}

std::string amount_of(const SiblingDistance& distance) {
  if (unit_of(distance.likeness) == "ln K" || unit_of(distance.likeness) == "ln min")
    return fmt::format("{:.0f} %", 100.0 * std::abs(portable_expm1(distance.distance)));
  return fmt::format("{:.1f} K", std::abs(distance.distance));
}

std::string usual_of(const SiblingDistance& distance) {
  switch (distance.likeness) {
  case Likeness::spread: return fmt::format("{:.1f} K", portable_exp(distance.usual));
  case Likeness::warm_up: return fmt::format("{:.0f} min", portable_exp(distance.usual));
  case Likeness::rise_at_load: return fmt::format("{:.1f} K", distance.usual);
  default: return fmt::format("{:.1f} °C", distance.usual);
  }
}

void add_rise(SiblingLevels& levels) {
  const auto& at_load = levels.levels.at(static_cast<std::size_t>(Likeness::level_at_load));
  const auto& opening = levels.levels.at(static_cast<std::size_t>(Likeness::opening));
  if (at_load && opening)
    levels.levels.at(static_cast<std::size_t>(Likeness::rise_at_load)) = *at_load - *opening;
}

} // namespace

std::string_view name_of(Likeness likeness) {
  const auto measure = measure_of(likeness);
  return measure ? name_of(*measure) : "rise-at-load";
}

std::string_view unit_of(Likeness likeness) {
  const auto measure = measure_of(likeness);
  return measure ? unit_of(*measure) : "K";
}

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
  add_rise(levels);
  return levels;
}

std::vector<AmongSiblings> among_siblings(std::span<const SiblingLevels> vehicles) {
  std::map<std::string_view, std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < vehicles.size(); ++i) {
    if (!vehicles[i].group.empty()) groups[vehicles[i].group].push_back(i);
  }
  std::vector<AmongSiblings> all(vehicles.size());
  for (const auto& [name, group] : groups) {
    for (const Likeness likeness : all_likenesses())
      compare(likeness, told_by(vehicles, group, likeness), all);
  }
  for (AmongSiblings& vehicle : all) {
    if (!vehicle.distances.empty()) vehicle.p = chance_of(vehicle);
  }
  return all;
}

FleetFinding odd_siblings(std::span<const AmongSiblings> vehicles, double false_share) {
  std::vector<double> p;
  p.reserve(vehicles.size());
  for (const AmongSiblings& vehicle : vehicles) p.push_back(vehicle.p);
  return finding_of(p, Dependence::positive, false_share);
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
  return fmt::format("{} lies {} {} that of {} like vehicles ({})", subject_of(distance.likeness),
                     amount_of(distance), distance.distance > 0.0 ? "above" : "below",
                     distance.others, usual_of(distance));
}

} // namespace coolband
