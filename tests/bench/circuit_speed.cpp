// SPDX-License-Identifier: Apache-2.0
// How long one step of the circuit takes, alone and with faults and sensor: nanoseconds of this
// thread's processor time, the best and the median of several runs, beside std::exp and std::sqrt
// on the same machine.
#include "support/circuit_drives.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <ctime>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

constexpr int k_steps = 1'000'000;
constexpr int k_runs = 9;

double processor_ns() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return 1e9 * static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec);
}

/// `run` goes through `k_steps` and returns something that depends on all of them.
template <class Run>
void time_of(const char* what, Run run) {
  std::array<double, k_runs> ns{};
  double kept = 0.0;
  for (double& each : ns) {
    const double begin = processor_ns();
    kept += run();
    each = (processor_ns() - begin) / k_steps;
  }
  std::sort(ns.begin(), ns.end());
  fmt::print("{:<44} best {:6.1f} ns, median {:6.1f} ns   ({:.3f})\n", what, ns.front(),
             ns[k_runs / 2], kept / k_runs);
}

/// New conditions every few seconds, drawn beforehand so that only the step is measured.
std::vector<Operation> operations() {
  Random random(1);
  std::vector<Operation> drawn(4096);
  for (Operation& operation : drawn) {
    operation = operation_of(random.between(0.1, 0.7), random.between(800.0, 3000.0),
                             random.between(0.0, 30.0));
    operation.heater = 0.3;
  }
  return drawn;
}

double circuit_alone(const std::vector<Operation>& drawn) {
  Circuit circuit({}, 20.0);
  for (std::size_t i = 0; i < k_steps; ++i) circuit.step(drawn[i / 8 % drawn.size()], {}, 0.5);
  return circuit.state().coolant_c;
}

double all_of_it(const std::vector<Operation>& drawn) {
  Circuit circuit({}, 20.0);
  FaultCourse faults({{FaultKind::coolant_low, 1.0}}, 1);
  SensorReading sensor({}, 20.0, 1);
  double shown = 0.0;
  for (std::size_t i = 0; i < k_steps; ++i) {
    faults.go_to(0.5 * static_cast<double>(i));
    circuit.step(drawn[i / 8 % drawn.size()], faults.circuit(), 0.5);
    sensor.follow(circuit.state().coolant_c, faults.sensor(), 0.5);
    if (i % 2 == 1) shown = sensor.shown_c(faults.sensor());
  }
  return shown;
}

template <class Function>
double chained(Function function) {
  double x = 0.5;
  for (int i = 0; i < k_steps; ++i) x = function(x);
  return x;
}

} // namespace

int main() {
  const std::vector<Operation> drawn = operations();
  time_of("std::exp, each waiting for the last",
          [] { return chained([](double x) { return std::exp(-x); }); });
  time_of("std::sqrt, likewise",
          [] { return chained([](double x) { return std::sqrt(x + 0.1); }); });
  time_of("circuit, a step", [&] { return circuit_alone(drawn); });
  time_of("circuit, faults and sensor, a step", [&] { return all_of_it(drawn); });
  return 0;
}
