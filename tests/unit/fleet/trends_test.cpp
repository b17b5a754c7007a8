// SPDX-License-Identifier: Apache-2.0
#include "fleet/trends.hpp"
#include "unit/fleet/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

const MeasureTrend& level_of(const VehicleTrend& trend) { return trend.measures[0]; }

/// 120 trips; from trip `from` on 0.03 K a trip.
TripMaker creeping(std::size_t from = 40) {
  TripMaker maker;
  maker.count = 120;
  maker.drift = ramp(from, 0.03);
  return maker;
}

} // namespace

TEST_CASE("a slope is told per 100 days, 1000 hours and 100 trips, with its error") {
  const auto trend = trend_of(made_trips(creeping(0)));
  const MeasureTrend& level = level_of(trend);
  REQUIRE(level.lacks.empty());
  REQUIRE(level.per_100_days);
  REQUIRE(level.per_1000_h);
  // 0.03 K a trip, a trip every two days and of two thirds of an hour.
  const auto agrees = [](const TrendSlope& slope, double expected) {
    CAPTURE(slope.slope);
    CHECK(slope.error > 0.0);
    CHECK(slope.error < 0.2 * expected);
    CHECK(std::abs(slope.slope - expected) < 3.0 * slope.error);
  };
  agrees(level.per_100_trips, 3.0);
  agrees(*level.per_100_days, 1.5);
  agrees(*level.per_1000_h, 45.0);
}

TEST_CASE("a creeping vehicle is found, one that keeps its level through the seasons is not") {
  TripMaker steady;
  steady.count = 180;
  steady.season_k = 1.0;
  const auto found = trend_of(made_trips(creeping()));
  CHECK(found.p < 1e-3);
  CHECK(level_of(found).upward);
  CHECK(level_of(found).change > 1.0);
  CHECK(level_of(found).change < 2.4);
  CHECK(trend_of(made_trips(steady)).p > 0.05);
}

TEST_CASE("a vehicle without charts has no p-value") {
  TripMaker few;
  few.count = 11;
  const auto trend = trend_of(made_trips(few));
  CHECK(std::isnan(trend.p));
  CHECK(level_of(trend).lacks == "too few trips tell it");
  CHECK(std::isnan(trend_of({}).p));
}

TEST_CASE("a service begins a new baseline") {
  // Hot for 40 trips, mended, then normal: a drop, but no trend since.
  TripMaker maker;
  maker.count = 90;
  maker.drift = [](std::size_t i) { return i < 40 ? 6.0 : 0.0; };
  const auto trips = made_trips(maker);
  CHECK(trend_of(trips).p < 1e-3);
  TrendOptions options;
  SUBCASE("by its date") { options.services = {instant(79.5).substr(0, 10)}; }
  SUBCASE("among others") { options.services = {"2030-01-01", "2031-03-21", "2040-01-01"}; }
  const auto trend = trend_of(trips, options);
  CHECK(trend.before == 40);
  CHECK(trend.trips == 50);
  CHECK(trend.baseline_from == trips[40].start);
  CHECK(trend.p > 0.05);
}

TEST_CASE("the services of a history, not its findings") {
  History history;
  add_event(history, {"2031-02-01", EventKind::finding, "runs hot", "overheating", "check"});
  add_event(history, {"2031-03-21", EventKind::service, "thermostat renewed", "", "a mechanic"});
  CHECK(service_days(history) == std::vector<std::string>{"2031-03-21"});
}

TEST_CASE("a band that holds since another day begins a new baseline") {
  auto trips = made_trips({});
  for (std::size_t i = 30; i < trips.size(); ++i) trips[i].since = "2031-03-01";
  CHECK(trend_of(trips).before == 30);
}

TEST_CASE("trips of another sensor, and those that are unfit, do not count") {
  auto trips = made_trips(creeping());
  const auto clean = trend_of(trips);
  auto more = trips;
  for (std::size_t i = 0; i < 20; ++i) {
    TripMeasures other = trips[i];
    other.sensor = "gauge";
    other.measures[0]->value += 30.0;
    more.insert(more.begin() + static_cast<std::ptrdiff_t>(3 * i), other);
  }
  TripMeasures unfit = trips[0];
  unfit.unfit = "the sensor is at fault";
  more.insert(more.begin(), unfit);
  const auto trend = trend_of(more);
  CHECK(trend.other_sensor == 20);
  CHECK(trend.unfit == 1);
  CHECK(trend.trips == 120);
  CHECK(trend.p == clean.p);
}

TEST_CASE("trips without a date are told by the trip") {
  auto trips = made_trips(creeping());
  for (TripMeasures& trip : trips) trip.start.clear();
  const auto trend = trend_of(trips);
  CHECK(trend.p < 1e-3);
  CHECK_FALSE(level_of(trend).per_100_days);
  CHECK_FALSE(level_of(trend).days);
  CHECK(level_of(trend).per_100_trips.slope > 1.0);
}

TEST_CASE("a change too small to act upon is none, however sure") {
  TripMaker maker;
  maker.count = 300;
  maker.drift = [](std::size_t i) { return i < 100 ? 0.0 : 0.4; };
  maker.noise = [](SplitMix& random) { return 0.2 * normal(random); };
  const auto trend = trend_of(made_trips(maker));
  CHECK(trend.measures[0].run_length > 1e5);
  CHECK(trend.measures[0].p == 1.0);
}

TEST_CASE("a fleet believes the surest, and few sound ones with them") {
  std::vector<double> p(100);
  for (std::size_t i = 0; i < p.size(); ++i) p[i] = (static_cast<double>(i) + 0.5) / 100.0;
  p[40] = 1e-6;
  p[7] = 2e-5;
  p[8] = std::nan("");
  const FleetFinding finding = fleet_trends(p);
  CHECK(finding.found == std::vector<std::size_t>{40, 7});
  CHECK(finding.level == 2e-5);
  CHECK(std::isnan(finding.adjusted[8]));
  CHECK(fleet_trends({}).found.empty());
}

TEST_CASE("in many sound fleets of twenty, few list any vehicle; faulty ones beside are listed") {
  int lists = 0;
  int found = 0;
  for (std::uint64_t fleet = 0; fleet < 20; ++fleet) {
    std::vector<double> p;
    TripMaker maker;
    maker.noise = wild;
    maker.season_k = 1.0;
    for (std::uint64_t i = 0; i < 20; ++i) {
      maker.seed = 5000 + 20 * fleet + i;
      p.push_back(trend_of(made_trips(maker)).p);
    }
    lists += fleet_trends(p).found.empty() ? 0 : 1;
    TripMaker faulty = creeping();
    faulty.seed = 9000 + fleet;
    p.push_back(trend_of(made_trips(faulty)).p);
    const auto listed = fleet_trends(p).found;
    found += std::find(listed.begin(), listed.end(), 20U) != listed.end() ? 1 : 0;
  }
  CHECK(lists <= 4); // 1 expected at most; P(more than 4) is 0.003
  CHECK(found >= 18);
}

TEST_CASE("of a found vehicle the measures at the fleet's level are believed, the surest first") {
  const auto trend = trend_of(made_trips(creeping()));
  const auto measures = believed(trend, trend.p);
  REQUIRE_FALSE(measures.empty());
  CHECK(trend.measures[static_cast<std::size_t>(measures.front())].p * 2.0 == trend.p);
  CHECK(believed(trend, 0.0).empty());
}
