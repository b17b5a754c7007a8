// SPDX-License-Identifier: Apache-2.0
// Names and courses of faults: windows, spells, severities, what adds up.
#include "circuit/fault.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstring>
#include <set>
#include <string>

using namespace coolband;

namespace {

bool sound(const CircuitFaults& faults) {
  const CircuitFaults none;
  return faults.lift_at_least == none.lift_at_least && faults.lift_at_most == none.lift_at_most &&
         faults.opens_later_k == 0.0 && faults.more_hysteresis_k == 0.0 &&
         faults.wax_lag_factor == 1.0 && faults.friction == 0.0 && faults.leak_share == 0.0 &&
         faults.fan_factor == 1.0 && !faults.fan_always_on && faults.core_air_factor == 1.0 &&
         faults.core_ua_factor == 1.0 && faults.core_flow_factor == 1.0 &&
         faults.pump_factor == 1.0 && faults.hose_collapse == 0.0 &&
         faults.coolant_missing == 0.0 && faults.gas_at_pump == 0.0 && faults.cap_factor == 1.0 &&
         faults.gas_heat == 0.0;
}

bool sound(const SensorFaults& faults) {
  const SensorFaults none;
  return faults.offset_k == 0.0 && faults.series_ohm == 0.0 &&
         faults.leakage_ohm == none.leakage_ohm && faults.lag_factor == 1.0 && !faults.no_reading &&
         !faults.open_circuit && faults.uncovered_k == 0.0 && !faults.frozen;
}

bool sound(const FaultCourse& course) {
  return sound(course.circuit()) && sound(course.sensor()) && !course.active();
}

/// At some moment of half an hour something is not sound.
bool ever_felt(FaultKind kind, double severity) {
  FaultCourse course({{kind, severity}}, 5);
  for (double t = 0.0; t < 1800.0; t += 0.5) {
    course.go_to(t);
    if (!sound(course.circuit()) || !sound(course.sensor())) return true;
  }
  return false;
}

} // namespace

TEST_CASE("every kind has a name of its own that leads back to it") {
  std::set<std::string> names;
  for (const FaultKind kind : all_fault_kinds()) {
    names.emplace(name_of(kind));
    CHECK(fault_named(name_of(kind)) == kind);
  }
  CHECK(names.size() == k_fault_kinds);
  CHECK(name_of(FaultKind::sensor_frozen) == "sensor-frozen"); // the last: none is missing
  CHECK(name_of(FaultKind::thermostat_sticking) == "thermostat-sticking");
  CHECK_FALSE(fault_named("thermostat"));
  CHECK_FALSE(fault_named(""));
}

TEST_CASE("severity 0 is sound, any other is felt") {
  for (const FaultKind kind : all_fault_kinds()) {
    CAPTURE(name_of(kind));
    CHECK_FALSE(ever_felt(kind, 0.0));
    CHECK(ever_felt(kind, 0.3));
    CHECK(ever_felt(kind, 2.0));
  }
  FaultCourse none({}, 1);
  none.go_to(1e6);
  CHECK(sound(none));
}

TEST_CASE("faults stay within what the circuit can take, two of a kind and beyond severity 2") {
  for (const FaultKind kind : all_fault_kinds()) {
    FaultCourse course({{kind, 9.0}, {kind, 2.0}}, 5);
    for (double t = 0.0; t < 1800.0; t += 0.5) {
      course.go_to(t);
      const CircuitFaults& c = course.circuit();
      CAPTURE(name_of(kind));
      REQUIRE(c.lift_at_least >= 0.0);
      REQUIRE(c.lift_at_least <= 1.0);
      REQUIRE(c.lift_at_most >= 0.0);
      REQUIRE(std::min({c.fan_factor, c.core_air_factor, c.core_ua_factor, c.core_flow_factor,
                        c.pump_factor, c.cap_factor}) >= 0.0);
      REQUIRE(std::max({c.coolant_missing, c.gas_at_pump, c.hose_collapse, c.leak_share}) <= 1.0);
      REQUIRE(course.sensor().leakage_ohm > 0.0);
    }
  }
}

TEST_CASE("a fault is at work in its window only") {
  FaultPlan plan{FaultKind::pump_slip, 1.0, 100.0, 300.0, std::nullopt};
  FaultCourse course({plan}, 1);
  CHECK(sound(course));
  course.go_to(99.5);
  CHECK(sound(course));
  course.go_to(100.0);
  CHECK(course.active());
  CHECK(course.circuit().pump_factor < 1.0);
  course.go_to(299.5);
  CHECK(course.active());
  course.go_to(300.0);
  CHECK(sound(course));
  course.go_to(1e6);
  CHECK(sound(course));
}

TEST_CASE("in spells a fault comes and goes, the same with the same seed") {
  const FaultPlan plan{FaultKind::thermostat_stuck_open, 1.0, 50.0, 1e9, Spells{30.0, 60.0}};
  FaultCourse course({plan}, 7);
  FaultCourse again({plan}, 7);
  FaultCourse other({plan}, 8);
  int on = 0;
  int differ = 0;
  for (int t = 50; t < 9050; ++t) {
    course.go_to(t);
    again.go_to(t);
    other.go_to(t);
    on += course.active() ? 1 : 0;
    differ += course.active() != other.active() ? 1 : 0;
    REQUIRE(course.active() == again.active());
    REQUIRE(course.circuit().lift_at_least == again.circuit().lift_at_least);
    CHECK((course.circuit().lift_at_least > 0.0) == course.active());
  }
  CHECK(on / 9000.0 == doctest::Approx(1.0 / 3.0).epsilon(0.15));
  CHECK(differ > 1000);
}

TEST_CASE("the course does not depend on how often it is asked") {
  const FaultPlan plan{FaultKind::coolant_low, 1.0, 0.0, 1e9, Spells{100.0, 40.0}};
  FaultCourse often({plan}, 3);
  FaultCourse seldom({plan}, 3);
  for (double t = 0.0; t <= 5000.0; t += 0.5) often.go_to(t);
  seldom.go_to(5000.0);
  CHECK(often.active() == seldom.active());
  CHECK(often.circuit().gas_at_pump == seldom.circuit().gas_at_pump);
  CHECK(often.sensor().uncovered_k == seldom.sensor().uncovered_k);
}

TEST_CASE("a second fault changes nothing of when the first one comes") {
  const FaultPlan first{FaultKind::coolant_low, 1.0, 0.0, 1e9, Spells{100.0, 40.0}};
  FaultCourse alone({first}, 3);
  FaultCourse both({first, {FaultKind::fan_dead, 1.0}}, 3);
  for (double t = 0.0; t <= 3000.0; t += 1.0) {
    alone.go_to(t);
    both.go_to(t);
    REQUIRE(alone.circuit().gas_at_pump == both.circuit().gas_at_pump);
  }
  CHECK(both.circuit().fan_factor == 0.0);
}

TEST_CASE("faults add up") {
  FaultCourse course({{FaultKind::pump_slip, 1.0},
                      {FaultKind::pump_slip, 1.0},
                      {FaultKind::sensor_offset, 1.0},
                      {FaultKind::sensor_series_resistance, 0.5},
                      {FaultKind::thermostat_late, 1.0}},
                     1);
  FaultCourse one({{FaultKind::pump_slip, 1.0}}, 1);
  const double slip = one.circuit().pump_factor;
  CHECK(course.circuit().pump_factor == doctest::Approx(slip * slip));
  CHECK(course.sensor().offset_k == doctest::Approx(6.0));
  CHECK(course.sensor().series_ohm == doctest::Approx(50.0));
  CHECK(course.circuit().opens_later_k == doctest::Approx(8.0));
}

TEST_CASE("a loose contact is at work only while it fails") {
  FaultCourse course({{FaultKind::sensor_dropouts, 1.0}}, 2);
  int failing = 0;
  int empty = 0;
  int open = 0;
  for (int t = 0; t < 20000; ++t) {
    course.go_to(t);
    const SensorFaults& sensor = course.sensor();
    CHECK(course.active() == (sensor.no_reading || sensor.open_circuit));
    failing += course.active() ? 1 : 0;
    empty += sensor.no_reading ? 1 : 0;
    open += sensor.open_circuit ? 1 : 0;
  }
  CHECK(failing > 1000);
  CHECK(failing < 5000);
  CHECK(empty > 300);
  CHECK(open > 300);
}

TEST_CASE("gas comes in bursts, the oftener the lower the level") {
  const auto share_with_gas = [](double severity) {
    FaultCourse course({{FaultKind::coolant_low, severity}}, 4);
    int with_gas = 0;
    for (int t = 0; t < 40000; ++t) {
      course.go_to(t);
      with_gas += course.circuit().gas_at_pump > 0.0 ? 1 : 0;
      if (course.sensor().uncovered_k > 0.0) CHECK(course.circuit().gas_at_pump > 0.0);
    }
    return with_gas / 40000.0;
  };
  CHECK(share_with_gas(0.3) > 0.02);
  CHECK(share_with_gas(1.0) > 1.5 * share_with_gas(0.3));
  CHECK(share_with_gas(2.0) > 1.2 * share_with_gas(1.0));
  CHECK(share_with_gas(2.0) < 0.9);
}
