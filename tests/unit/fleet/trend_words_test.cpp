// SPDX-License-Identifier: Apache-2.0
#include "fleet/trend_words.hpp"
#include "unit/fleet/made_trips.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

MeasureTrend moved(Measure measure, double change) {
  MeasureTrend trend;
  trend.measure = measure;
  trend.change = change;
  trend.change_error = 0.3;
  trend.upward = change > 0.0;
  trend.trips_since = 64;
  trend.since = "2031-03-04T05:06:07Z";
  trend.days = 90.2;
  return trend;
}

VehicleTrend vehicle(std::initializer_list<MeasureTrend> measures) {
  VehicleTrend trend;
  for (const Measure measure : all_measures()) {
    trend.measures[static_cast<std::size_t>(measure)].measure = measure;
    trend.measures[static_cast<std::size_t>(measure)].lacks = "not made";
  }
  for (const MeasureTrend& measure : measures)
    trend.measures[static_cast<std::size_t>(measure.measure)] = measure;
  return trend;
}

} // namespace

TEST_CASE("a sentence says what moved, by how much and since when") {
  CHECK(words_of(moved(Measure::level_at_load, 2.1)) ==
        "the level at load has crept up 2.1 K (±0.3) over 90 days (64 trips), since 2031-03-04");
  MeasureTrend slower = moved(Measure::warm_up, std::log(1.4));
  slower.change_error = 0.05;
  slower.days.reset();
  slower.trips_since = 1;
  CHECK(words_of(slower) == "the warm-up takes longer +40 % (±5) over 1 trip");
  CHECK(words_of(moved(Measure::level, -4.0)) ==
        "the level has crept down 4.0 K (±0.3) over 90 days (64 trips), since 2031-03-04");
}

TEST_CASE("what moved together tells what it usually is") {
  const MeasureTrend level = moved(Measure::level, 1.2);
  const MeasureTrend load = moved(Measure::level_at_load, 3.0);
  const auto pattern = [](const VehicleTrend& trend, std::vector<Measure> measures) {
    return pattern_of(trend, measures);
  };
  CHECK(pattern(vehicle({level, load}), {}) == TrendPattern::none);
  CHECK(pattern(vehicle({level, load}), {Measure::level, Measure::level_at_load}) ==
        TrendPattern::cooling_weaker);
  CHECK(pattern(vehicle({level, moved(Measure::level_at_load, 1.3)}), {Measure::level}) ==
        TrendPattern::runs_warmer);
  CHECK(pattern(vehicle({moved(Measure::opening, 4.0), level}),
                {Measure::level, Measure::opening}) == TrendPattern::opens_later);
  CHECK(pattern(vehicle({moved(Measure::level, -4.0)}), {Measure::level}) ==
        TrendPattern::runs_colder);
  CHECK(pattern(vehicle({moved(Measure::warm_up, 0.4)}), {Measure::warm_up}) ==
        TrendPattern::runs_colder);
  CHECK(pattern(vehicle({moved(Measure::hottest_idle, 5.0)}), {Measure::hottest_idle}) ==
        TrendPattern::fan_weaker);
  CHECK(pattern(vehicle({moved(Measure::spread, 0.5)}), {Measure::spread}) ==
        TrendPattern::regulates_looser);
  CHECK(pattern(vehicle({moved(Measure::spread, -0.5)}), {Measure::spread}) ==
        TrendPattern::steadier);
}

TEST_CASE("words end with what to do; none without a trend") {
  const auto trend = vehicle({moved(Measure::level_at_load, 3.0)});
  const auto words = trend_words(trend, {Measure::level_at_load});
  REQUIRE(words.size() == 2);
  CHECK(words[1].rfind("usual for a radiator that slowly blocks", 0) == 0);
  CHECK(trend_words(trend, {}).empty());
}

TEST_CASE("a vehicle without a trend says why") {
  TripMaker few;
  few.count = 7;
  CHECK(lack_words(trend_of(made_trips(few))) == "7 trips that count; a trend needs 12");
  CHECK(lack_words(trend_of(made_trips({}))).empty());
}
