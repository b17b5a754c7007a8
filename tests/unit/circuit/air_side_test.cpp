// SPDX-License-Identifier: Apache-2.0
// Air through the core, and the heat it takes: the textbook's effectiveness in the steady state.
#include "circuit/air_side.hpp"

#include "circuit/radiator.hpp"
#include "support/circuit_drives.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Heat per K of the inlet's excess in the steady state: q = k (T_in - T_air).
double steady(const CoreConductance& core, double coolant_kw_per_k) {
  // C (T_in - T_r) = by_radiator T_r + by_inlet T_in, temperatures over the air's.
  const double outlet = (coolant_kw_per_k - core.by_inlet) / (coolant_kw_per_k + core.by_radiator);
  return coolant_kw_per_k * (1.0 - outlet);
}

/// 4 m/s through the core at 20 °C and sea level: the reference.
CoreAir reference_air() { return core_air({}, operation_of(0.5, 3600, 19.4), {}, 0.0); }

} // namespace

TEST_CASE("the air's capacity rate by hand") {
  // 0.28 m2, 0.12 + 0.2 x 19.4 = 4 m/s, 1.2041 kg/m3, 1.006 kJ/(kg K).
  CHECK(reference_air().kw_per_k == doctest::Approx(0.28 * 4.0 * 1.2041 * 1.006).epsilon(1e-4));
  CHECK(reference_air().mass_share == doctest::Approx(1.0).epsilon(1e-4));
  CHECK(reference_air().recirculated == 0.0);
}

TEST_CASE("ram air and fan add like the roots of their pressures; height and heat thin the air") {
  const CircuitParameters p;
  const Operation standing = operation_of(0.2, 800, 0);
  const Operation rolling = operation_of(0.2, 800, 15);
  const double fan = core_air(p, standing, {}, 4.0).mass_share;
  const double ram = core_air(p, rolling, {}, 0.0).mass_share;
  const double both = core_air(p, rolling, {}, 4.0).mass_share;
  CHECK(both == doctest::Approx((0.12 + 5.0) / 4.0).epsilon(1e-3)); // 3, 4, 5
  CHECK(both < fan + ram);
  Operation high = rolling;
  high.outside_kpa = 70.1085; // 3000 m
  CHECK(core_air(p, high, {}, 0.0).kw_per_k ==
        doctest::Approx(70.1085 / 101.325 * core_air(p, rolling, {}, 0.0).kw_per_k));
  Operation hot = rolling;
  hot.ambient_c = 50.0;
  CHECK(core_air(p, hot, {}, 0.0).kw_per_k < 0.91 * core_air(p, rolling, {}, 0.0).kw_per_k);
  CHECK(core_air(p, standing, {}, 4.0).recirculated == doctest::Approx(0.15));
  CHECK(core_air(p, operation_of(0.2, 800, 6), {}, 4.0).recirculated == 0.0);
}

TEST_CASE("in the steady state the radiator does what the effectiveness says") {
  const CircuitParameters p;
  const CoreAir air = reference_air();
  for (const double coolant : {1.5, 3.0, 7.3, 20.0}) {
    const CoreConductance core = core_conductance(p, {}, air, coolant, 1.0);
    const double eps =
        effectiveness_larger_mixed(p.radiator_ua_kw_per_k / air.kw_per_k, air.kw_per_k / coolant);
    CHECK(steady(core, coolant) == doctest::Approx(eps * air.kw_per_k).epsilon(1e-3));
  }
}

TEST_CASE("a trickle leaves as cold as the air, and no flow leaves a body that cools") {
  const CircuitParameters p;
  const CoreAir air = reference_air();
  CHECK(steady(core_conductance(p, {}, air, 0.02, 0.003), 0.02) ==
        doctest::Approx(0.02).epsilon(1e-3));
  const CoreConductance still = core_conductance(p, {}, air, 0.0, 0.0);
  CHECK(still.by_inlet == doctest::Approx(0.0).epsilon(1e-6));
  CHECK(still.by_radiator > 0.1);
  CHECK(still.by_radiator <= p.radiator_ua_kw_per_k);
}

TEST_CASE("more air, more flow and more surface carry more; both blockages carry less") {
  const CircuitParameters p;
  const auto carried = [&](double speed, double share, const CircuitFaults& faults) {
    const CoreAir air = core_air(p, operation_of(0.5, 3600, speed), faults, 0.0);
    return steady(core_conductance(p, faults, air, 7.3 * share, share), 7.3 * share);
  };
  double before = 0.0;
  for (double speed = 0.0; speed < 50.0; speed += 2.5) {
    CHECK(carried(speed, 1.0, {}) > before);
    before = carried(speed, 1.0, {});
  }
  CHECK(carried(20.0, 1.0, {}) > carried(20.0, 0.5, {}));
  CircuitFaults outside;
  outside.core_air_factor = 0.5;
  CircuitFaults inside;
  inside.core_ua_factor = 0.5;
  CHECK(carried(20.0, 1.0, outside) < carried(20.0, 1.0, {}));
  CHECK(carried(20.0, 1.0, inside) < carried(20.0, 1.0, {}));
}

TEST_CASE("air that comes round again is warmer by what it took") {
  const CircuitParameters p;
  CoreAir air = core_air(p, operation_of(0.2, 800, 0), {}, 3.0);
  const double r = air.recirculated;
  REQUIRE(r > 0.0);
  const CoreConductance with = core_conductance(p, {}, air, 2.0, 0.27);
  air.recirculated = 0.0;
  const CoreConductance without = core_conductance(p, {}, air, 2.0, 0.27);
  // Coolant everywhere 60 K over the ambient air: q = (K + B)(60 - rise), rise = r/(1-r) q/C_air.
  const double q = (with.by_radiator + with.by_inlet) * 60.0;
  const double rise = r / (1.0 - r) * q / air.kw_per_k;
  CHECK(q == doctest::Approx((without.by_radiator + without.by_inlet) * (60.0 - rise)));
}

TEST_CASE("nothing divides by nothing") {
  CircuitFaults faults;
  faults.core_air_factor = 0.0;
  const CoreAir air = core_air({}, parked(), faults, 0.0);
  const CoreConductance core = core_conductance({}, faults, air, 0.0, 0.0);
  CHECK(std::isfinite(core.by_radiator));
  CHECK(std::isfinite(core.by_inlet));
  CHECK(core.by_radiator >= 0.0);
}
