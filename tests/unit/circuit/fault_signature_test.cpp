// SPDX-License-Identifier: Apache-2.0
// Each kind of fault against the sound twin of the same drive: where it shows, and where it does
// not. The directions are common practice, no source.
#include "support/circuit_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <optional>

using namespace coolband;
using namespace coolband::testing;

namespace {

Outcome with(std::optional<FaultKind> kind, const Driving& driving, double severity = 1.0,
             double start_c = 20.0) {
  CircuitTrip trip;
  trip.start_c = start_c;
  trip.sensor.resolution_c = 0.0;
  if (kind) trip.faults = {{*kind, severity}};
  return driven(trip, driving);
}

Outcome sound(const Driving& driving, double start_c = 20.0) {
  return with(std::nullopt, driving, 0.0, start_c);
}

double mean_c(std::optional<FaultKind> kind, const Driving& driving) {
  return with(kind, driving).mean_c;
}

/// How much hotter in the mean than the sound twin, K.
double hotter_k(FaultKind kind, const Driving& driving) {
  return mean_c(kind, driving) - mean_c(std::nullopt, driving);
}

double range_k(const Outcome& outcome) { return outcome.highest_c - outcome.lowest_c; }

/// Five minutes each of easy road and climb in turn.
Operation rolling(double time_s) {
  return std::fmod(time_s, 600.0) < 300.0 ? on_road() : climbing();
}

/// A climb in hot weather, then the engine idles at the top.
Operation hot_stop(double time_s) { return time_s < 1500.0 ? climbing(42.0) : idling(42.0); }

/// Mean absolute change of the reading from one second to the next, from half an hour on.
double restlessness_k(const Outcome& outcome) {
  double sum = 0.0;
  for (std::size_t i = 1800; i < outcome.shown_c.size(); ++i)
    sum += std::abs(outcome.shown_c[i] - outcome.shown_c[i - 1]);
  return sum / static_cast<double>(outcome.shown_c.size() - 1800);
}

double worst_low_k(const Outcome& outcome) {
  double worst = 0.0;
  for (std::size_t i = 1800; i < outcome.shown_c.size(); ++i)
    worst = std::max(worst, outcome.true_c[i] - outcome.shown_c[i]);
  return worst;
}

/// The hottest of the first half hour, when the valve opens for the first time.
double first_peak_c(const Outcome& outcome) {
  return *std::max_element(outcome.true_c.begin(), outcome.true_c.begin() + 1800);
}

} // namespace

TEST_CASE("stuck open: cold on the road, coldest in the cold, slow to warm, hot climbs unchanged") {
  CHECK(hotter_k(FaultKind::thermostat_stuck_open, always(on_road())) < -4.0);
  CHECK(hotter_k(FaultKind::thermostat_stuck_open, always(on_road(-5.0))) <
        hotter_k(FaultKind::thermostat_stuck_open, always(on_road())));
  CHECK(with(FaultKind::thermostat_stuck_open, always(on_motorway())).warm_s >
        1.3 * sound(always(on_motorway())).warm_s);
  CHECK(std::abs(hotter_k(FaultKind::thermostat_stuck_open, always(climbing(35.0)))) < 0.1);
}

TEST_CASE("stuck closed: hot on the road, far hotter on a climb, warm-up unchanged") {
  CHECK(hotter_k(FaultKind::thermostat_stuck_closed, always(on_road())) > 6.0);
  CHECK(hotter_k(FaultKind::thermostat_stuck_closed, always(climbing())) > 20.0);
  CHECK(with(FaultKind::thermostat_stuck_closed, always(on_road())).warm_s ==
        sound(always(on_road())).warm_s);
}

TEST_CASE("part open: cold with little to do, hot with much") {
  CHECK(hotter_k(FaultKind::thermostat_part_open, always(idling())) < -4.0);
  CHECK(hotter_k(FaultKind::thermostat_part_open, always(climbing())) > 15.0);
}

TEST_CASE("slow: the first opening comes too late, and changes of load swing wider") {
  const Driving quick = always(climbing(10.0));
  CHECK(first_peak_c(with(FaultKind::thermostat_slow, quick)) > first_peak_c(sound(quick)) + 3.0);
  CHECK(range_k(with(FaultKind::thermostat_slow, rolling)) > range_k(sound(rolling)) + 0.5);
}

TEST_CASE("wide hysteresis: below the sound twin after a climb, never above") {
  const Outcome wide = with(FaultKind::thermostat_wide_hysteresis, rolling);
  const Outcome twin = sound(rolling);
  CHECK(range_k(wide) > range_k(twin) + 3.0);
  CHECK(wide.lowest_c < twin.lowest_c - 3.0);
  CHECK(wide.highest_c < twin.highest_c + 1.0);
}

TEST_CASE("late: regulates so much hotter") {
  CHECK(hotter_k(FaultKind::thermostat_late, always(on_road())) > 6.0);
  CHECK(hotter_k(FaultKind::thermostat_late, always(on_road())) < 8.5);
  CHECK(with(FaultKind::thermostat_late, always(on_road())).warm_s ==
        sound(always(on_road())).warm_s);
}

TEST_CASE("leaking: slow to warm and cold at idle in the cold, hardly felt on the road") {
  CHECK(with(FaultKind::thermostat_leaking, always(on_motorway(0.0))).warm_s >
        1.2 * sound(always(on_motorway(0.0))).warm_s);
  CHECK(hotter_k(FaultKind::thermostat_leaking, always(idling(5.0))) < -4.0);
  CHECK(std::abs(hotter_k(FaultKind::thermostat_leaking, always(on_motorway(30.0)))) < 1.5);
}

TEST_CASE("sticking: both too hot and too cold in turn") {
  const Outcome sticking = with(FaultKind::thermostat_sticking, rolling);
  const Outcome twin = sound(rolling);
  CHECK(sticking.lowest_c < twin.lowest_c - 2.0);
  CHECK(sticking.highest_c > twin.highest_c + 1.0);
  CHECK(range_k(sticking) > 1.5 * range_k(twin));
}

TEST_CASE("fan dead or slipping: hot standing in hot weather, unchanged on the motorway") {
  const double dead_k = hotter_k(FaultKind::fan_dead, hot_stop);
  const double slipping_k = hotter_k(FaultKind::fan_clutch_slipping, hot_stop);
  CHECK(dead_k > 5.0);
  CHECK(slipping_k > 0.5);
  CHECK(slipping_k < dead_k);
  CHECK(std::abs(hotter_k(FaultKind::fan_dead, always(on_motorway()))) < 0.1);
  CHECK(std::abs(hotter_k(FaultKind::fan_clutch_slipping, always(on_motorway()))) < 0.1);
}

TEST_CASE("fan stuck on: draws air that nobody asked for, so the valve opens less") {
  const Driving slow = always(operation_of(0.5, 2000, 3, 25.0));
  const Outcome stuck = with(FaultKind::fan_stuck_on, slow);
  const Outcome twin = sound(slow);
  CHECK(stuck.end.fan < 0.9); // its own sense would not have it so
  CHECK(stuck.mean_lift < twin.mean_lift - 0.02);
  CHECK(stuck.mean_c < twin.mean_c - 0.3);
}

TEST_CASE("radiator blocked, outside or inside: hot under load, sound at idle in the mild") {
  for (const FaultKind kind :
       {FaultKind::radiator_blocked_outside, FaultKind::radiator_blocked_inside}) {
    const double climb_k = hotter_k(kind, always(climbing(35.0)));
    const double idle_k = hotter_k(kind, always(idling()));
    CHECK(climb_k > 8.0);
    CHECK(idle_k >= 0.0);
    CHECK(idle_k < 0.3 * climb_k);
  }
}

TEST_CASE("pump slip: hotter under load, and the block hotter over its coolant") {
  const Outcome slipping = with(FaultKind::pump_slip, always(climbing(35.0)));
  const Outcome twin = sound(always(climbing(35.0)));
  CHECK(slipping.mean_c > twin.mean_c + 1.0);
  CHECK(slipping.end.block_c - slipping.end.coolant_c >
        1.3 * (twin.end.block_c - twin.end.coolant_c));
}

TEST_CASE("low coolant and trapped air: a restless reading that drops while the coolant does not") {
  const Outcome twin = sound(always(on_road()));
  for (const FaultKind kind : {FaultKind::coolant_low, FaultKind::air_trapped}) {
    const Outcome faulty = with(kind, always(on_road()));
    CHECK(restlessness_k(faulty) > 5.0 * restlessness_k(twin));
    CHECK(worst_low_k(faulty) > 3.0);
  }
  CHECK(worst_low_k(twin) < 0.5);
  CHECK(with(FaultKind::coolant_low, always(on_road())).warm_s < twin.warm_s);
  const Driving quick = always(climbing(10.0));
  CHECK(first_peak_c(with(FaultKind::air_trapped, quick)) > first_peak_c(sound(quick)) + 0.5);
}

TEST_CASE("hose collapsed: the faster the engine the hotter, nothing at idle") {
  CHECK(std::abs(hotter_k(FaultKind::hose_collapsed, always(idling(35.0)))) < 0.1);
  CHECK(hotter_k(FaultKind::hose_collapsed, always(operation_of(0.7, 3400, 20, 35.0))) > 1.0);
}

TEST_CASE("cap not holding: nothing while cool, boils sooner when hot") {
  CHECK(hotter_k(FaultKind::cap_not_holding, always(on_road())) == 0.0);
  CircuitTrip hot;
  hot.faults = {{FaultKind::radiator_blocked_inside, 1.0}};
  const Outcome holds = driven(hot, always(climbing()));
  hot.faults.push_back({FaultKind::cap_not_holding, 1.0});
  const Outcome open = driven(hot, always(climbing()));
  CHECK(holds.end.boiled_l == 0.0);
  CHECK(open.end.boiled_l > 0.1);
  CHECK(first_peak_c(open) < first_peak_c(holds) - 3.0);
}

TEST_CASE("combustion gas: hot with load, hardly at idle, quicker to warm") {
  const Driving idle = always(idling(35.0));
  const double idle_k =
      with(FaultKind::combustion_gas, idle, 1.0, 80.0).mean_c - sound(idle, 80.0).mean_c;
  const double climb_k = hotter_k(FaultKind::combustion_gas, always(climbing(40.0)));
  CHECK(climb_k > idle_k + 2.0);
  CHECK(with(FaultKind::combustion_gas, always(on_road())).warm_s <
        sound(always(on_road())).warm_s);
}

TEST_CASE("a sensor's fault leaves the engine as it is") {
  const Outcome twin = sound(rolling);
  for (const FaultKind kind :
       {FaultKind::sensor_offset, FaultKind::sensor_series_resistance, FaultKind::sensor_leakage,
        FaultKind::sensor_slow, FaultKind::sensor_dropouts, FaultKind::sensor_frozen}) {
    const Outcome faulty = with(kind, rolling);
    CHECK(faulty.true_c == twin.true_c);
    CHECK(faulty.shown_c != twin.shown_c);
  }
}

TEST_CASE("sensors: shifted, cold when hot, warm when cold, late, silent, fixed") {
  const Outcome twin = sound(rolling);
  const std::size_t warm = 3000;
  const auto shift_k = [&](FaultKind kind, std::size_t at) {
    return with(kind, rolling).shown_c[at] - twin.shown_c[at];
  };
  CHECK(shift_k(FaultKind::sensor_offset, warm) == doctest::Approx(6.0));
  CHECK(shift_k(FaultKind::sensor_offset, 0) == doctest::Approx(6.0));
  CHECK(shift_k(FaultKind::sensor_series_resistance, warm) < -7.0);
  CHECK(std::abs(shift_k(FaultKind::sensor_series_resistance, 0)) < 1.5);
  CHECK(shift_k(FaultKind::sensor_leakage, 0) > 15.0);
  CHECK(shift_k(FaultKind::sensor_leakage, warm) < 5.0);
  CHECK(restlessness_k(with(FaultKind::sensor_slow, rolling)) < restlessness_k(twin));
  const Outcome silent = with(FaultKind::sensor_dropouts, rolling);
  CHECK(std::any_of(silent.shown_c.begin(), silent.shown_c.end(),
                    [](double c) { return std::isnan(c); }));
  CHECK(std::count(silent.shown_c.begin(), silent.shown_c.end(), -40.0) > 0);
  const Outcome frozen = with(FaultKind::sensor_frozen, rolling);
  CHECK(std::all_of(frozen.shown_c.begin(), frozen.shown_c.end(),
                    [](double c) { return c == 20.0; }));
}

TEST_CASE("a worse fault shows more") {
  const auto off_k = [](FaultKind kind, double severity, const Driving& driving) {
    return std::abs(with(kind, driving, severity).mean_c - sound(driving).mean_c);
  };
  for (const FaultKind kind :
       {FaultKind::thermostat_stuck_closed, FaultKind::thermostat_late,
        FaultKind::radiator_blocked_outside, FaultKind::radiator_blocked_inside,
        FaultKind::pump_slip, FaultKind::combustion_gas}) {
    const Driving hard = always(climbing(35.0));
    CAPTURE(name_of(kind));
    CHECK(off_k(kind, 0.4, hard) < off_k(kind, 0.8, hard));
    CHECK(off_k(kind, 0.8, hard) < off_k(kind, 1.2, hard));
  }
  for (const FaultKind kind : {FaultKind::thermostat_stuck_open, FaultKind::thermostat_leaking}) {
    const Driving easy = always(on_road(0.0));
    CAPTURE(name_of(kind));
    CHECK(off_k(kind, 0.8, easy) < off_k(kind, 1.4, easy));
    CHECK(off_k(kind, 1.4, easy) < off_k(kind, 2.0, easy));
  }
}
