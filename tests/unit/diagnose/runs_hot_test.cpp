// SPDX-License-Identifier: Apache-2.0
// Where no thermostat regulates any more, and when every probable cause makes an engine hot.
#include "diagnose/runs_hot.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::size_t hot_blocks(const MadeTrip& made, const NormalBand& band = made_band()) {
  const auto beyond = beyond_regulation(made.take(), band);
  return static_cast<std::size_t>(std::count(beyond.begin(), beyond.end(), true));
}

/// `blocks` of 10 s at `coolant`, between running at the band's 80 °C.
MadeTrip hot_for(std::size_t blocks, float coolant, Phase phase = Phase::warm) {
  Stretch hot;
  hot.coolant = coolant;
  hot.load = 95.0F;
  hot.ambient = 42.0F;
  hot.phase = phase;
  return MadeTrip{}.add(60, {}).add(blocks, hot).add(60, {});
}

Cause cause(Condition condition, double probability) {
  Cause made;
  made.condition = condition;
  made.probability = probability;
  return made;
}

} // namespace

TEST_CASE(
    "beyond the widest span and the rating's tolerance for three minutes, whatever the load") {
  CHECK(hot_blocks(hot_for(30, 98.5F)) == 30); // 15 K span, 3 K tolerance
  CHECK(hot_blocks(hot_for(30, 97.5F)) == 0);
  CHECK(hot_blocks(hot_for(12, 105.0F)) == 0); // two minutes
}

TEST_CASE("heat soak after a stop and a vehicle of unknown level are not judged so") {
  CHECK(hot_blocks(hot_for(30, 105.0F, Phase::restart)) == 0);
  NormalBand own = made_band();
  own.origin = BandOrigin::trip;
  CHECK(hot_blocks(hot_for(30, 105.0F), own) == 0);
}

TEST_CASE("hot for any cause: not where soundness, cold or a wrong reading stay probable") {
  using C = Condition;
  CHECK(hot_for_any_cause({cause(C::fan_not_cooling, 0.5), cause(C::radiator_restricted, 0.35),
                           cause(C::normal, 0.15)}));
  CHECK_FALSE(hot_for_any_cause({cause(C::fan_not_cooling, 0.75), cause(C::normal, 0.25)}));
  CHECK_FALSE(
      hot_for_any_cause({cause(C::thermostat_stuck_closed, 0.7), cause(C::sensor_fault, 0.3)}));
  CHECK_FALSE(hot_for_any_cause({cause(C::thermostat_stuck_open, 1.0)}));
}
