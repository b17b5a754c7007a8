// SPDX-License-Identifier: Apache-2.0
#include "fleet/trend_chart.hpp"
#include "unit/fleet/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::vector<ChartValue> values_of(const std::vector<TripMeasures>& trips, Measure measure) {
  std::vector<ChartValue> values;
  for (const TripMeasures& trip : trips)
    values.push_back({trip.of(measure)->value, trip.of(measure)->error, trip_conditions(trip)});
  return values;
}

TrendChart chart_of(const TripMaker& maker, std::size_t count) {
  auto values = values_of(made_trips(maker), Measure::level);
  values.resize(std::min(count, values.size()));
  return trend_chart(values, habits_of(Measure::level));
}

/// Of so many sound vehicles, how many ever show p <= `p` when looked at after every tenth trip.
int alarms(TripMaker maker, int vehicles, double p) {
  int count = 0;
  for (int i = 0; i < vehicles; ++i) {
    maker.seed = 1000 + static_cast<std::uint64_t>(i);
    const auto values = values_of(made_trips(maker), Measure::level);
    bool alarm = false;
    for (std::size_t n = 12; n <= values.size() && !alarm; n += 10)
      alarm = trend_chart(std::span(values).first(n), habits_of(Measure::level)).p <= p;
    count += alarm ? 1 : 0;
  }
  return count;
}

} // namespace

TEST_CASE("sound vehicles looked at again and again cross p no more often than p") {
  TripMaker maker;
  maker.count = 200;
  const int vehicles = 150;
  SUBCASE("as the normal has it") {}
  SUBCASE("with heavy tails") { maker.noise = wild; }
  SUBCASE("with a season that the band does not know") { maker.season_k = 1.0; }
  SUBCASE("with readings that hardly differ") {
    maker.noise = [](SplitMix& random) { return random.share() < 0.5 ? 0.0 : 0.2; };
  }
  SUBCASE("with readings in steps") {
    maker.noise = [](SplitMix& random) { return 2.0 * std::round(normal(random)); };
  }
  // 0.05 of 150 is 7.5; three standard deviations above are 15.5.
  CHECK(alarms(maker, vehicles, 0.05) <= 15);
  CHECK(alarms(maker, vehicles, 0.001) <= 1);
}

TEST_CASE("a drift of a twentieth of a kelvin a trip is seen within sixty trips, upwards") {
  TripMaker maker;
  maker.count = 100;
  maker.drift = ramp(40, 0.05);
  const TrendChart chart = chart_of(maker, 100);
  CHECK(chart.upward);
  CHECK(chart.p < 1e-4);
  CHECK(chart.began >= 30);
  CHECK(chart.began <= 65);
  CHECK(chart_of(maker, 40).p > 0.05);
}

TEST_CASE("a drift downwards is seen as such") {
  TripMaker maker;
  maker.drift = ramp(40, -0.05);
  const TrendChart chart = chart_of(maker, 100);
  CHECK_FALSE(chart.upward);
  CHECK(chart.p < 1e-4);
}

TEST_CASE("one wild trip is no trend") {
  TripMaker maker;
  maker.count = 60;
  maker.drift = [](std::size_t i) { return i == 59 ? 50.0 : 0.0; };
  CHECK(chart_of(maker, 60).p > 0.05);
}

TEST_CASE("few values tell nothing, none less") {
  CHECK(trend_chart({}, habits_of(Measure::level)).p == 1.0);
  TripMaker maker;
  CHECK(chart_of(maker, 1).p > 0.99);
  CHECK(chart_of(maker, 1).scores == std::vector<double>{0.0});
}

TEST_CASE("a longer run to a false alarm goes with a smaller p") {
  TripMaker maker;
  maker.drift = ramp(40, 0.02);
  double p = 2.0;
  double run = 0.0;
  for (const std::size_t count : {60U, 80U, 100U}) {
    const TrendChart chart = chart_of(maker, count);
    CHECK(chart.p < p);
    CHECK(chart.run_length > run);
    p = chart.p;
    run = chart.run_length;
  }
}
