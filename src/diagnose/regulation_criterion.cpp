// SPDX-License-Identifier: Apache-2.0
// The regulation's own question about a thermostat: did the coolant get within 11 °C of nominal?
#include "diagnose/regulation_criterion.hpp"

#include "diagnose/deviations.hpp"
#include "diagnose/explain.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Least running without which a start from cold cannot be said to have failed: the longest budget
/// of a maker's monitor (common practice, no source), or longer where this vehicle takes longer.
constexpr double k_least_running_s = 900.0;
/// A reading counts once it was held this long (common practice, no source).
constexpr double k_held_s = 60.0;

/// A warm-up that goes on is no failure: so much rise over the last minutes (common practice, no
/// source; twice the step of SAE J1979).
constexpr double k_rise_k = 2.0;
constexpr double k_rise_s = 300.0;

struct Nominal {
  double value_c;
  NominalSource from;
};

/// The opening that the circuit was fitted with counts only where the drives told it.
std::optional<Nominal> nominal_of(const NormalBand& band,
                                  const std::optional<VehicleProfile>& profile) {
  if (profile && profile->thermostat_opens_c)
    return Nominal{*profile->thermostat_opens_c, NominalSource::rating};
  if (band.origin == BandOrigin::trip) return std::nullopt;
  if (band.opens_c) return Nominal{*band.opens_c, NominalSource::rating};
  if (band.circuit && (*band.circuit)[CircuitParameter::opens].identified)
    return Nominal{(*band.circuit)[CircuitParameter::opens].value, NominalSource::fitted_opening};
  return Nominal{band.centre_c, NominalSource::band_centre};
}

bool usable(const Blocks& blocks, std::size_t i) {
  return blocks.phase[i] != Phase::off && known(blocks.coolant[i]);
}

struct Held {
  double level_c; ///< lowest reading of the minute
  double end_s;
};

/// The first minute from block `first` on; none where engine, log or reading ends before.
std::optional<Held> held_from(const Trip& trip, std::size_t first) {
  const Blocks& blocks = trip.blocks;
  const double hole_s = std::max(k_held_s, 2.0 * trip.sample_period_s);
  double level_c = 1e9;
  for (std::size_t i = first; i < blocks.size() && usable(blocks, i); ++i) {
    if (i > first && blocks.start_s[i] - blocks.end_s[i - 1] > hole_s) return std::nullopt;
    level_c = std::min(level_c, *known(blocks.coolant[i]));
    if (blocks.end_s[i] - blocks.start_s[first] + trip.sample_period_s >= k_held_s)
      return Held{level_c, blocks.end_s[i]};
  }
  return std::nullopt;
}

/// What the trip shows of its way to the limit.
struct Way {
  std::optional<double> start_c;   ///< first reading with the engine running
  std::optional<double> reached_c; ///< warmest that was held, over the whole trip
  std::optional<double> passed_s;  ///< when the limit had been held for a minute
  double running_s = 0.0;          ///< until then, or to the end
  double end_c = 0.0;              ///< last reading with the engine running
  std::optional<double> start_ambient_c;
};

Way way_to(double limit_c, const Trip& trip) {
  const Blocks& blocks = trip.blocks;
  Way way;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (usable(blocks, i)) way.end_c = *known(blocks.coolant[i]);
    if (!way.start_c && usable(blocks, i)) way.start_c = way.end_c;
    if (!way.start_ambient_c) way.start_ambient_c = known(blocks.ambient[i]);
    if (const auto held = held_from(trip, i)) {
      way.reached_c = std::max(way.reached_c.value_or(held->level_c), held->level_c);
      if (!way.passed_s && held->level_c >= limit_c) way.passed_s = held->end_s;
    }
    if (!way.passed_s && blocks.phase[i] != Phase::off)
      way.running_s += blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s;
  }
  return way;
}

double running_needed_s(const Trip& trip, const NormalBand& band) {
  if (trip.warm_ups.empty()) return k_least_running_s;
  return std::max(k_least_running_s, expected_warm_up_s(band, trip.warm_ups.front()).value_or(0.0));
}

bool still_rising(const Way& way, const Blocks& blocks) {
  const double from_s = blocks.end_s.back() - k_rise_s;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.start_s[i] >= from_s && usable(blocks, i))
      return way.end_c - *known(blocks.coolant[i]) >= k_rise_k;
  }
  return false;
}

void add_weather(std::vector<std::string>& reasons, const Way& way) {
  if (!way.start_ambient_c && !way.passed_s)
    reasons.emplace_back("the outside temperature is not known");
  if (way.start_ambient_c && *way.start_ambient_c < k_deep_cold_c)
    reasons.push_back(
        fmt::format("{:.0f} °C outside at the start: below {:.0f} °C the monitor may rest",
                    *way.start_ambient_c, k_deep_cold_c));
}

void add_idling(std::vector<std::string>& reasons, const Way& way, const Trip& trip) {
  const auto idle = idle_share(trip.blocks, 0.0, way.passed_s.value_or(trip.duration_s));
  if (!idle && !way.passed_s)
    reasons.emplace_back("without road speed the share of idling is not known");
  if (idle && *idle > k_idle_share)
    reasons.push_back(fmt::format("idle for {:.0f} % of the time until then: above {:.0f} % the "
                                  "monitor may rest",
                                  100.0 * *idle, 100.0 * k_idle_share));
}

/// Every condition of the monitor that does not hold.
std::vector<std::string> why_not(const Way& way, const Trip& trip, const NormalBand& band,
                                 double limit_c) {
  if (!way.reached_c) return {"no reading was held for a minute with the engine running"};
  std::vector<std::string> reasons;
  const bool warm_start = *way.start_c >= limit_c;
  if (warm_start)
    reasons.push_back(
        fmt::format("the log begins at {:.1f} °C, past the limit already", *way.start_c));
  add_weather(reasons, way);
  if (!warm_start) add_idling(reasons, way, trip); // else it is not a warm-up that idled
  const double needed_s = running_needed_s(trip, band);
  if (!way.passed_s && way.running_s < needed_s)
    reasons.push_back(fmt::format("only {} of running: from such a start {} are needed",
                                  format_duration(way.running_s), format_duration(needed_s)));
  if (!way.passed_s && still_rising(way, trip.blocks))
    reasons.push_back(fmt::format("still warming up at {:.1f} °C when the log ends", way.end_c));
  return reasons;
}

} // namespace

RegulationCheck regulation_criterion(const Trip& trip, const NormalBand& band,
                                     const std::optional<VehicleProfile>& profile,
                                     Condition found) {
  RegulationCheck check;
  const auto nominal = nominal_of(band, profile);
  if (!nominal) {
    check.because.emplace_back("neither profile nor band tells the nominal temperature");
    return check;
  }
  check.nominal_c = nominal->value_c;
  check.nominal_from = nominal->from;
  check.limit_c = nominal->value_c - k_criterion_k;
  const Way way = way_to(*check.limit_c, trip);
  check.reached_c = way.reached_c;
  check.because = why_not(way, trip, band, *check.limit_c);
  if (found == Condition::sensor_fault)
    check.because.emplace_back("the reading itself is in doubt");
  if (!check.because.empty()) return check;
  check.outcome = way.passed_s ? CriterionOutcome::met : CriterionOutcome::below;
  if (nominal->from == NominalSource::band_centre)
    check.because.emplace_back("no rating is known: the centre of the band stands in for nominal");
  return check;
}

} // namespace coolband
