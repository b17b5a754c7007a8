// SPDX-License-Identifier: Apache-2.0
// What load, speed, standing and climbing do is learned from drives in which it is known.
#include "coolband/band/normal_band.hpp"

#include "numeric/first_order_lag.hpp"
#include "support/random.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

struct Truth {
  double load_slope = 0.08; ///< K per %
  double load_lag_s = 60.0;
  double speed_slope = 0.0; ///< K per km/h
  double idle_k = 0.0;
  double climb_slope = 0.0; ///< K per m/min
  double noise_k = 0.3;     ///< of an AR(1) that forgets in a minute
  double step_c = 0.1;
  bool with_speed = true;
};

/// A load, a speed and a height that jump about by themselves every minute or two.
struct Made {
  std::vector<float> coolant, load, speed, altitude;
};

Made made_series(const Truth& truth, Random& random, double level_c) {
  Made made;
  FirstOrderLag load_lag(truth.load_lag_s);
  FirstOrderLag speed_lag(60.0);
  FirstOrderLag idle_lag(60.0);
  FirstOrderLag climb_lag(60.0);
  double load = 40.0;
  double speed = 60.0;
  double climb = 0.0;
  double height = 300.0;
  double noise = 0.0;
  for (int second = 0; second < 2700; ++second) {
    if (random.below(70) == 0) load = random.between(10.0, 85.0);
    if (random.below(90) == 0) speed = random.below(4) == 0 ? 0.0 : random.between(20.0, 110.0);
    if (random.below(110) == 0) climb = random.between(-40.0, 40.0);
    height += climb / 60.0;
    // Four uniform numbers add up to one that is near enough to normal.
    double sum = 0.0;
    for (int i = 0; i < 4; ++i) sum += random.between(-1.0, 1.0);
    noise = 0.984 * noise + truth.noise_k * std::sqrt(1.0 - 0.984 * 0.984) * sum * 0.866;
    const double reading = level_c + truth.load_slope * (load_lag.next(load, second) - 40.0) +
                           truth.speed_slope * (speed_lag.next(speed, second) - 50.0) +
                           truth.idle_k * idle_lag.next(speed < 3.0 ? 1.0 : 0.0, second) +
                           truth.climb_slope * climb_lag.next(climb, second) + noise;
    made.coolant.push_back(static_cast<float>(std::round(reading / truth.step_c) * truth.step_c));
    made.load.push_back(static_cast<float>(load));
    made.speed.push_back(static_cast<float>(speed));
    made.altitude.push_back(static_cast<float>(height));
  }
  return made;
}

DriveSummary made_summary(const Truth& truth, Random& random, const std::string& name) {
  const Made made = made_series(truth, random, 80.0 + random.between(-0.5, 0.5));
  Recording recording = made_recording(1.0, made.coolant);
  recording.column(Role::load) = made.load;
  recording.column(Role::altitude) = made.altitude;
  if (truth.with_speed) recording.column(Role::speed) = made.speed;
  fill(recording, Role::ambient, 15.0F);
  SegmentOptions options;
  options.regulating_c = 80.0;
  const Trip trip = find_trips(recording, condition(recording), options).front();
  const auto summary = summarise_drive(trip, name, "");
  REQUIRE(summary);
  return *summary;
}

NormalBand learned(const Truth& truth, std::uint64_t seed, std::size_t drives = 8) {
  Random random(seed);
  std::vector<DriveSummary> summaries;
  for (std::size_t i = 0; i < drives; ++i)
    summaries.push_back(made_summary(truth, random, "d" + std::to_string(i)));
  const auto band = learn_band(summaries, "V");
  REQUIRE(band);
  return *band;
}

} // namespace

TEST_CASE("the effect of load and its lag are found") {
  for (const double lag_s : {30.0, 60.0, 120.0}) {
    Truth truth;
    truth.load_lag_s = lag_s;
    const NormalBand band = learned(truth, 5);
    CAPTURE(lag_s);
    REQUIRE(band.load_c_per_pct);
    CHECK(std::abs(*band.load_c_per_pct - 0.08) < 4.0 * band.load_error_c_per_pct);
    CHECK(band.load_error_c_per_pct < 0.01);
    CHECK(band.load_lag_s > lag_s / 1.4);
    CHECK(band.load_lag_s < lag_s * 1.4);
    CHECK_FALSE(band.speed);
    CHECK_FALSE(band.idle);
    CHECK_FALSE(band.climb);
  }
}

TEST_CASE("a lag is bounded by what an engine can have") {
  Truth truth;
  truth.load_lag_s = 400.0;
  CHECK(learned(truth, 6).load_lag_s == 180.0);
  truth.load_lag_s = 2.0;
  CHECK(learned(truth, 6).load_lag_s >= 20.0);
}

TEST_CASE("speed, standing and climbing are learned where they matter, with their errors") {
  Truth truth;
  truth.speed_slope = -0.03;
  truth.idle_k = 2.0;
  truth.climb_slope = 0.05;
  const NormalBand band = learned(truth, 9, 10);
  REQUIRE(band.speed);
  REQUIRE(band.idle);
  REQUIRE(band.climb);
  CHECK(std::abs(band.speed->slope + 0.03) < 4.0 * band.speed->error);
  CHECK(std::abs(band.idle->slope - 2.0) < 4.0 * band.idle->error);
  CHECK(std::abs(band.climb->slope - 0.05) < 4.0 * band.climb->error);
  CHECK(band.speed->error < 0.01);
  // What is explained no longer counts as spread: about the noise that was put in is left.
  CHECK(band.within_c < 0.5);
}

TEST_CASE(
    "conditions that do nothing earn no place, in forty vehicles no more than chance allows") {
  int accepted = 0;
  for (std::uint64_t seed = 100; seed < 140; ++seed) {
    Truth truth;
    const NormalBand band = learned(truth, seed, 5);
    accepted += band.speed || band.idle || band.climb ? 1 : 0;
  }
  CHECK(accepted <= 4);
}

TEST_CASE("a log without speed is learned from without it") {
  Truth truth;
  truth.idle_k = 3.0;
  truth.with_speed = false;
  const NormalBand band = learned(truth, 3);
  CHECK(band.load_c_per_pct);
  CHECK_FALSE(band.idle);
  CHECK(band.within_c > 0.6); // what standing does is spread now
}
