// SPDX-License-Identifier: Apache-2.0
// What of a finding is kept for trends.
#include "fleet/trip_measures.hpp"

#include "band/rounded.hpp"
#include "coolband/core/timestamp.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "core/portable_math.hpp"
#include "diagnose/episodes.hpp"
#include "diagnose/explain.hpp"
#include "fleet/trend_days.hpp"
#include "fleet/trip_levels.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>
#include <utility>

namespace coolband {

namespace {

constexpr std::array<std::string_view, k_measures> k_names{
    "level", "level-at-load", "spread", "opening", "warm-up", "hottest-idle"};

/// As for a judgement.
constexpr double k_least_warm_s = 300.0;
/// Shorter warm-ups began half warm and tell little of a pace, s.
constexpr double k_least_warm_up_s = 240.0;
/// How well the start and the end of a warm-up are told, as a share of it (1 s.d.; judgement).
constexpr double k_warm_up_error = 0.05;
/// Of a bend in the rise, and of the hottest moments of an idle, K (1 s.d.; judgement).
constexpr double k_opening_error_k = 0.5;
constexpr double k_idle_error_k = 0.5;

/// One measure, or why it is none.
struct ToldMeasure {
  std::optional<Measured> measured;
  std::string lacks;
};

ToldMeasure lacking(std::string why) { return {std::nullopt, std::move(why)}; }

double with_rounding(double error, const Trip& trip) {
  return std::hypot(error, trip.resolution_c / std::sqrt(12.0));
}

Conditions common_conditions(std::optional<double> load_pct) {
  Conditions conditions;
  conditions.load_pct = load_pct;
  conditions.ambient_c = k_common_ambient_c;
  return conditions;
}

/// The deviation, on top of what the band expects under the common conditions.
Measured at_common(const NormalBand& band, const Estimate& beyond, double load_pct) {
  const double expected_c = predict(band, common_conditions(load_pct)).centre_c;
  return {expected_c + beyond.value, beyond.error, beyond.value};
}

ToldMeasure told_at_load(const WarmRunning& running, const NormalBand& band) {
  if (!band.load_seen_pct) return lacking("the band knows no load");
  const auto beyond = level_at_load(running, band.load_seen_pct->high);
  if (!beyond) return lacking("the trip did not come near the load to be told at, or has none");
  return {at_common(band, *beyond, band.load_seen_pct->high), {}};
}

double usual_scatter_k(const NormalBand& band) { return std::max(band.within_c, 0.1); }

ToldMeasure told_opening(const Trip& trip, const NormalBand& band) {
  for (const WarmUp& warm_up : trip.warm_ups) {
    if (!warm_up.opened_c) continue;
    Measured opening{*warm_up.opened_c, with_rounding(k_opening_error_k, trip), {}};
    if (band.traits.opens_c) opening.beyond_band = *warm_up.opened_c - band.traits.opens_c->value;
    return {opening, {}};
  }
  return lacking("no warm-up shows where the thermostat opens");
}

bool idled(const Trip& trip, const WarmUp& warm_up, double length_s) {
  return idle_share(trip.blocks, warm_up.start_s, warm_up.start_s + length_s).value_or(0.0) >
         k_idle_share;
}

/// From 20 °C, in air and under load as the band has them at its reference; s.
std::optional<double> common_warm_up_s(const NormalBand& band) {
  WarmUp common;
  common.from_c = k_common_ambient_c;
  return expected_warm_up_s(band, common);
}

ToldMeasure told_warm_up(const Trip& trip, const NormalBand& band) {
  const auto common_s = common_warm_up_s(band);
  if (!common_s) return lacking("the band knows no warm-up");
  for (const WarmUp& warm_up : trip.warm_ups) {
    const auto expected_s = expected_warm_up_s(band, warm_up);
    if (!expected_s || *expected_s < k_least_warm_up_s || in_deep_cold(warm_up)) continue;
    // One that never arrives took as long as the trip at least; short trips do not tell.
    const double took_s = warm_up.reached_s.value_or(trip.duration_s - warm_up.start_s);
    const bool tells = warm_up.reached_s || took_s > *expected_s;
    if (!tells || took_s <= 0.0 || idled(trip, warm_up, took_s)) continue;
    const double ratio = portable_log(took_s / *expected_s);
    return {Measured{portable_log(*common_s / 60.0) + ratio, k_warm_up_error, ratio}, {}};
  }
  return lacking("no warm-up from cold that can be compared");
}

ToldMeasure told_idle(const Trip& trip, const NormalBand& band, std::optional<double> ambient_c) {
  const auto hottest_c = trip.regulation.hottest_idle_c;
  if (!hottest_c) return lacking("it did not idle warm for long enough");
  const double by_weather_k = band.ambient_c_per_c.value_or(0.0) *
                              (ambient_c.value_or(k_common_ambient_c) - k_common_ambient_c);
  Measured idle{*hottest_c - by_weather_k, with_rounding(k_idle_error_k, trip), {}};
  if (band.traits.hottest_idle_c) idle.beyond_band = *hottest_c - band.traits.hottest_idle_c->value;
  return {idle, {}};
}

void put(TripMeasures& trip, Measure measure, ToldMeasure told) {
  const auto i = static_cast<std::size_t>(measure);
  trip.measures[i] = told.measured;
  trip.lacks[i] = std::move(told.lacks);
}

void put_levels(TripMeasures& measures, const WarmRunning& running, const NormalBand& band) {
  const auto level = trip_level(running);
  if (!level) {
    for (const Measure measure : {Measure::level, Measure::level_at_load, Measure::spread})
      put(measures, measure, lacking("too little warm running"));
    return;
  }
  put(measures, Measure::level, {at_common(band, level->level, k_common_load_pct), {}});
  put(measures, Measure::level_at_load, told_at_load(running, band));
  const double beyond = level->scatter.value - portable_log(usual_scatter_k(band));
  put(measures, Measure::spread,
      {Measured{level->scatter.value, level->scatter.error, beyond}, {}});
}

std::string unfit_because(const TripFinding& finding) {
  if (!finding.band) return "nothing to hold it against";
  if (finding.judgement.condition == Condition::sensor_fault) return "the sensor is at fault";
  if (finding.trip.sanity.frozen) return "the reading stood still";
  if (finding.judgement.judged_s < k_least_warm_s)
    return fmt::format("only {} of warm running", format_duration(finding.judgement.judged_s));
  return {};
}

void put_verdict(TripMeasures& measures, const Judgement& judgement) {
  measures.judged_s = judgement.judged_s;
  measures.share_in_band = judgement.share_in_band;
  measures.hottest_c = judgement.hottest_c;
  measures.boiling_margin_k = judgement.boiling.margin_c;
  measures.condition = judgement.condition;
  measures.action = judgement.action;
  measures.left_band = anything_unexplained(judgement.episodes);
}

std::optional<double> mean_of(const std::vector<double>& values) {
  if (values.empty()) return std::nullopt;
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

/// The same log gives the same record on every machine.
void round_off(TripMeasures& trip) {
  const auto round = [](std::optional<double>& value) {
    if (value) value = rounded_to(*value, 7);
  };
  trip.duration_s = rounded_to(trip.duration_s, 7);
  trip.judged_s = rounded_to(trip.judged_s, 7);
  for (auto& measured : trip.measures) {
    if (!measured) continue;
    measured->value = rounded_to(measured->value, 7);
    measured->error = rounded_to(measured->error, 7);
    round(measured->beyond_band);
  }
  for (auto* value : {&trip.ambient_c, &trip.load_pct, &trip.share_in_band, &trip.hottest_c,
                      &trip.boiling_margin_k})
    round(*value);
}

/// Of each source and start the last one.
std::vector<TripMeasures> each_once(std::vector<TripMeasures> trips) {
  std::set<std::pair<std::string, std::string>> known;
  std::vector<TripMeasures> once;
  for (auto trip = trips.rbegin(); trip != trips.rend(); ++trip) {
    if (known.emplace(trip->source, trip->start).second) once.push_back(std::move(*trip));
  }
  std::reverse(once.begin(), once.end());
  return once;
}

} // namespace

std::array<Measure, k_measures> all_measures() {
  return {Measure::level,   Measure::level_at_load, Measure::spread,
          Measure::opening, Measure::warm_up,       Measure::hottest_idle};
}

std::string_view name_of(Measure measure) { return k_names.at(static_cast<std::size_t>(measure)); }

std::optional<Measure> measure_named(std::string_view name) {
  const auto found = std::find(k_names.begin(), k_names.end(), name);
  if (found == k_names.end()) return std::nullopt;
  return static_cast<Measure>(found - k_names.begin());
}

TripMeasures measure_trip(const TripFinding& finding, const TripLabel& label) {
  TripMeasures measures;
  measures.source = label.source;
  measures.start = label.start;
  measures.sensor = label.sensor;
  measures.duration_s = finding.trip.duration_s;
  put_verdict(measures, finding.judgement);
  measures.unfit = unfit_because(finding);
  if (!finding.band) {
    measures.lacks.fill(measures.unfit);
    return measures;
  }
  const NormalBand& band = label.whole_band != nullptr ? *label.whole_band : *finding.band;
  measures.band = band.origin;
  measures.since = band.since;
  const WarmRunning running = warm_running(finding.trip, band);
  if (!running.ambient_c.empty()) measures.ambient_c = median(running.ambient_c);
  measures.load_pct = mean_of(running.load_pct);
  put_levels(measures, running, band);
  put(measures, Measure::opening, told_opening(finding.trip, band));
  put(measures, Measure::warm_up, told_warm_up(finding.trip, band));
  put(measures, Measure::hottest_idle, told_idle(finding.trip, band, measures.ambient_c));
  round_off(measures);
  return measures;
}

void keep_latest(std::vector<TripMeasures>& trips) {
  trips = each_once(std::move(trips));
  const bool dated = std::all_of(trips.begin(), trips.end(), [](const TripMeasures& trip) {
    return days_of(trip.start).has_value();
  });
  if (dated)
    std::stable_sort(trips.begin(), trips.end(), [](const TripMeasures& a, const TripMeasures& b) {
      return *days_of(a.start) < *days_of(b.start);
    });
  if (trips.size() > k_kept_trips)
    trips.erase(trips.begin(), trips.end() - static_cast<std::ptrdiff_t>(k_kept_trips));
}

} // namespace coolband
