// SPDX-License-Identifier: Apache-2.0
#include "fleet/trip_levels.hpp"
#include "fleet/trip_measures.hpp"
#include "support/repair_drives.hpp"
#include "unit/fleet/made_trips.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <optional>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

const NormalBand& band() {
  static const NormalBand learned = *learned_band(Vehicle{}, 400);
  return learned;
}

TripMeasures measured(const FaultPlan& fault, const std::optional<NormalBand>& against,
                      std::uint64_t seed = 31) {
  const Recording recording = driven(Vehicle{}, proving_plan(seed, 14.0), fault, "trip.csv");
  const auto findings = analyse(recording, against, std::nullopt);
  return measure_trip(findings.front(), {"trip.csv", "2031-05-06T07:08:09Z", "coolant_c"});
}

double beyond(const TripMeasures& trip, Measure measure) {
  REQUIRE(trip.of(measure));
  return trip.of(measure)->beyond_band.value_or(std::nan(""));
}

} // namespace

TEST_CASE("a sound trip is told in full, near what its band expects") {
  const auto trip = measured({}, band());
  CHECK(trip.unfit.empty());
  CHECK(trip.start == "2031-05-06T07:08:09Z");
  CHECK(trip.band == BandOrigin::learned);
  CHECK(trip.ambient_c.value() == doctest::Approx(14.0).epsilon(0.15));
  for (const Measure measure : all_measures()) {
    CAPTURE(name_of(measure));
    REQUIRE(trip.of(measure));
    CHECK(trip.of(measure)->error > 0.0);
    CHECK(trip.lacks[static_cast<std::size_t>(measure)].empty());
  }
  CHECK(std::abs(beyond(trip, Measure::level)) < 1.0);
  CHECK(std::abs(beyond(trip, Measure::level_at_load)) < 1.5);
  CHECK(std::abs(beyond(trip, Measure::spread)) < 0.7);
  CHECK(std::abs(beyond(trip, Measure::opening)) < 2.0);
  CHECK(std::abs(beyond(trip, Measure::warm_up)) < 0.25);
  CHECK(std::abs(beyond(trip, Measure::hottest_idle)) < 2.0);
}

TEST_CASE("a blocked radiator shows at load more than elsewhere, a thermostat held open below") {
  const auto sound = measured({}, band());
  const auto blocked = measured({Fault::radiator_blocked, 1.0}, band());
  const double level = beyond(blocked, Measure::level) - beyond(sound, Measure::level);
  const double at_load =
      beyond(blocked, Measure::level_at_load) - beyond(sound, Measure::level_at_load);
  CHECK(level > 0.5);
  CHECK(at_load > level + 0.5);
  const auto open = measured({Fault::stuck_open, 1.0}, band());
  CHECK(beyond(open, Measure::level) < -2.0);
  CHECK(beyond(open, Measure::warm_up) > 0.0);
}

TEST_CASE("trips with fewer columns are measured by the whole band, so that they compare") {
  Recording recording = driven(Vehicle{}, proving_plan(31, 14.0), {}, "trip.csv");
  recording.values[static_cast<std::size_t>(Role::ambient)] = Column();
  recording.values[static_cast<std::size_t>(Role::load)] = Column();
  const auto findings = analyse(recording, band(), std::nullopt);
  REQUIRE(findings.front().band);
  REQUIRE_FALSE(findings.front().band->ambient_c_per_c); // judged by less than the band knows
  REQUIRE(band().ambient_c_per_c);
  const auto bare = measure_trip(findings.front(), {"", "", "", &band()});
  const auto full = measured({}, band());
  // What the air of 14 °C and the load do to the level is all that differs.
  CHECK(std::abs(bare.of(Measure::level)->value - full.of(Measure::level)->value) < 1.0);
  const auto by_less = measure_trip(findings.front(), {});
  CHECK(by_less.of(Measure::level)->value != bare.of(Measure::level)->value);
}

TEST_CASE("without a band a trip tells its own level") {
  const auto trip = measured({}, std::nullopt);
  CHECK(trip.band == BandOrigin::trip);
  REQUIRE(trip.of(Measure::level));
  CHECK(trip.of(Measure::level)->value == doctest::Approx(80.0).epsilon(0.06));
  CHECK_FALSE(trip.of(Measure::level_at_load));
  CHECK(trip.lacks[1] == "the band knows no load");
  CHECK_FALSE(trip.of(Measure::warm_up));
  CHECK(trip.lacks[4] == "the band knows no warm-up");
}

TEST_CASE("a trip that never ran warm, or whose sensor failed, counts for no trend") {
  DrivePlan plan = proving_plan(3, 5.0);
  plan.legs = {{LegKind::idle, 2}};
  const auto findings =
      analyse(driven(Vehicle{}, plan, {}, "short.csv"), std::nullopt, std::nullopt);
  const auto brief = measure_trip(findings.front(), {});
  CHECK_FALSE(brief.unfit.empty());
  CHECK_FALSE(brief.of(Measure::level));
  CHECK_FALSE(brief.lacks[0].empty());
  const auto frozen = measured({Fault::sensor_frozen, 1.0, 1200.0}, band());
  CHECK_FALSE(frozen.unfit.empty());
}

TEST_CASE("a level's error counts independent looks") {
  WarmRunning running;
  SplitMix random(1);
  double wander = 0.0;
  for (int i = 0; i < 600; ++i) {
    wander = 0.95 * wander + normal(random);
    running.deviation_k.push_back(wander);
  }
  const auto level = trip_level(running);
  REQUIRE(level);
  // AR(1): 1/√n · σ √((1 + ρ)/(1 - ρ)), σ = 1/√(1 - ρ²)
  const double expected = std::sqrt(1.0 / (1.0 - 0.95 * 0.95) * (1.95 / 0.05) / 600.0);
  CHECK(level->level.error > 0.5 * expected);
  CHECK(level->level.error < 1.6 * expected);
}

TEST_CASE("a level at load needs load near it that varied") {
  WarmRunning running;
  SplitMix random(1);
  for (int i = 0; i < 200; ++i) {
    running.load_pct.push_back(20.0 + 30.0 * random.share());
    running.deviation_k.push_back(0.1 * (running.load_pct.back() - 60.0) + 0.2 * normal(random));
  }
  const auto near = level_at_load(running, 60.0);
  REQUIRE(near);
  CHECK(std::abs(near->value) < 4.0 * near->error);
  CHECK_FALSE(level_at_load(running, 80.0));
  running.load_pct.assign(200, 40.0);
  CHECK_FALSE(level_at_load(running, 45.0));
  running.load_pct.clear();
  CHECK_FALSE(level_at_load(running, 40.0));
}

TEST_CASE("the latest trips are kept, in order of time, each once") {
  TripMaker maker;
  maker.count = k_kept_trips + 50;
  auto trips = made_trips(maker);
  const auto latest = trips.back().start;
  std::swap(trips[3], trips[440]);
  TripMeasures again = trips[200];
  again.hottest_c = 99.0;
  trips.push_back(again);
  keep_latest(trips);
  CHECK(trips.size() == k_kept_trips);
  CHECK(trips.back().start == latest);
  for (std::size_t i = 1; i < trips.size(); ++i) CHECK(trips[i - 1].start < trips[i].start);
  CHECK(std::count_if(trips.begin(), trips.end(), [&](const TripMeasures& trip) {
          return trip.source == again.source && trip.hottest_c == 99.0;
        }) == 1);
}

TEST_CASE("names of measures lead back to them") {
  for (const Measure measure : all_measures()) CHECK(measure_named(name_of(measure)) == measure);
  CHECK_FALSE(measure_named("luck"));
}
