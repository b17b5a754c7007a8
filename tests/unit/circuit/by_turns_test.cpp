// SPDX-License-Identifier: Apache-2.0
// Drives that switch between two ways of working: the probability follows, the account that
// switches beats those that do not, and a sound drive does not pay for it.
#include "circuit/by_turns.hpp"

#include "support/reduced_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

constexpr std::size_t k_blocks = 540; // an hour and a half
constexpr Observer k_observer{100.0};
constexpr Weighing k_weighing{0.6, 80.0};
constexpr double k_tracking_look_s = 20.0;

ReducedFault held_open() {
  ReducedFault fault;
  fault.lift_at_least = 0.8;
  return fault;
}

ReducedFault reads_low(double low_k) {
  ReducedFault fault;
  fault.offset_k = -low_k;
  return fault;
}

/// Faulty from block 240 to 359.
std::vector<bool> in_the_middle() {
  std::vector<bool> faulty(k_blocks, false);
  std::fill(faulty.begin() + 240, faulty.begin() + 360, true);
  return faulty;
}

CircuitInputs switching(const ReducedFault& fault, const std::vector<bool>& faulty) {
  CircuitDrive drive = driven(3, 5.0, k_blocks);
  read_off_by_turns(drive, usual_circuit(), fault, faulty);
  return circuit_inputs({&drive, 1});
}

ByTurns run(const CircuitInputs& inputs, const std::vector<Mode>& modes) {
  return run_by_turns(inputs, usual_circuit(), modes, k_observer, k_weighing, k_tracking_look_s);
}

double alone(const CircuitInputs& inputs, const ReducedFault& fault) {
  const auto shown = predict_readings(inputs, usual_circuit(), k_observer, fault);
  double sum = 0.0;
  for (const std::size_t i : inputs.scored)
    sum += log_likelihood(inputs.coolant_c[i] - shown[i], inputs.length_s[i], k_weighing);
  return sum;
}

double mean_first(const ByTurns& run, std::size_t from, std::size_t to) {
  double sum = 0.0;
  for (std::size_t k = from; k < to; ++k) sum += run.first[k];
  return sum / static_cast<double>(to - from);
}

} // namespace

TEST_CASE("a block's log-likelihood is Student's, by its length, and nothing where nothing is") {
  const Weighing weighing{2.0, 100.0};
  CHECK(log_likelihood(0.0, 100.0, weighing) == 0.0);
  // Two scales off with 4 degrees of freedom: (1 + 4/4)^-2.5.
  CHECK(log_likelihood(4.0, 100.0, weighing) == doctest::Approx(-2.5 * std::log(2.0)));
  CHECK(log_likelihood(-4.0, 10.0, weighing) == doctest::Approx(-0.25 * std::log(2.0)));
  CHECK(log_likelihood(std::nan(""), 100.0, weighing) == 0.0);
}

TEST_CASE("the probability follows a valve that hangs open for twenty minutes") {
  const auto inputs = switching(held_open(), in_the_middle());
  const ByTurns turns = run(inputs, {{{}, 1800.0}, {held_open(), 900.0}});
  REQUIRE(turns.first.size() == inputs.scored.size());
  REQUIRE(turns.deviations.size() == inputs.scored.size());
  // Entry k of the scored blocks is block k + 1; five minutes to follow.
  CHECK(mean_first(turns, 150, 239) > 0.8);
  CHECK(mean_first(turns, 270, 359) < 0.2);
  CHECK(mean_first(turns, 390, 539) > 0.8);
}

TEST_CASE("an account that switches beats either way of working alone") {
  for (const ReducedFault& fault : {held_open(), reads_low(10.0)}) {
    const auto inputs = switching(fault, in_the_middle());
    const ByTurns turns = run(inputs, {{{}, 1800.0}, {fault, 900.0}});
    CHECK(turns.log_likelihood > alone(inputs, {}) + 5.0);
    CHECK(turns.log_likelihood > alone(inputs, fault) + 5.0);
    const auto misses = [](double deviation_k) { return std::abs(deviation_k) > 2.0; };
    CHECK(std::count_if(turns.deviations.begin(), turns.deviations.end(), misses) < 20);
  }
}

TEST_CASE("on a sound drive the first mode stays likely and the others gain nothing") {
  const auto inputs = switching(held_open(), std::vector<bool>(k_blocks, false));
  for (const ReducedFault& fault : {held_open(), reads_low(10.0)}) {
    const ByTurns turns = run(inputs, {{{}, 1800.0}, {fault, 900.0}});
    CHECK(turns.log_likelihood <= alone(inputs, {}));
    CHECK(mean_first(turns, 0, turns.first.size()) > 0.8);
  }
}

TEST_CASE("a fault that never leaves is likely throughout") {
  const auto inputs = switching(held_open(), std::vector<bool>(k_blocks, true));
  const ByTurns turns = run(inputs, {{{}, 1800.0}, {held_open(), 900.0}});
  CHECK(mean_first(turns, 150, 539) < 0.2);
  CHECK(turns.log_likelihood > alone(inputs, {}) + 5.0);
}

TEST_CASE("modes that hand back do not follow each other directly") {
  // Straight from one wrong reading to the other, ten times; and with sound blocks in between.
  const auto readings = [](std::size_t sound_blocks) {
    CircuitDrive drive = driven(3, 5.0, k_blocks);
    read_off(drive, usual_circuit());
    for (std::size_t from = 200; from + 20 < k_blocks; from += 30) {
      for (std::size_t i = from; i < from + 4; ++i) drive.blocks[i].coolant_cc -= 800;
      for (std::size_t i = from + 4 + sound_blocks; i < from + 8 + sound_blocks; ++i)
        drive.blocks[i].coolant_cc -= 2500;
    }
    return circuit_inputs({&drive, 1});
  };
  const auto gain = [&](std::size_t sound_blocks) {
    const CircuitInputs inputs = readings(sound_blocks);
    const auto by = [&](bool hands_back) {
      return run(inputs, {{{}, 600.0},
                          {reads_low(8.0), 40.0, hands_back},
                          {reads_low(25.0), 40.0, hands_back}})
          .log_likelihood;
    };
    return by(true) - by(false);
  };
  CHECK(gain(0) < 0.0);
  CHECK(gain(6) > 0.0);
}

TEST_CASE("each turn costs what chance has against it, less what is left open of its time") {
  // Readings that tell the modes apart at once: a reading's look is its block.
  const auto cost = [](std::size_t spells, const Weighing& weighing) {
    std::vector<bool> faulty(k_blocks, false);
    for (std::size_t i = 0; i < spells; ++i)
      std::fill_n(faulty.begin() + static_cast<std::ptrdiff_t>(150 + 120 * i), 60, true);
    const auto inputs = switching(reads_low(10.0), faulty);
    // What the modes foretell is right but for the blocks of the turns, so its likelihood is 1.
    return -run_by_turns(inputs, usual_circuit(), {{{{}, 1800.0}, {reads_low(10.0), 900.0}}},
                         k_observer, weighing, 2.0)
                .log_likelihood;
  };
  // Blocks of 10 s: a spell begins by chance in one of 180 of them and ends in one of 90, which is
  // 5.2 + 4.5 nats; it was so likely to go on without one.
  for (const std::size_t spells : {1U, 2U, 3U}) {
    CAPTURE(spells);
    for (const double look_s : {10.0, 20.0}) {
      const Weighing weighing{0.6, look_s};
      const double each =
          (cost(spells, weighing) - cost(0, weighing)) / static_cast<double>(spells);
      CHECK(each > 0.8 * (5.2 + 4.5));
      CHECK(each < 1.5 * (5.2 + 4.5));
    }
  }
}

TEST_CASE("between modes that are the same, turns cost nothing") {
  const auto inputs = switching(held_open(), in_the_middle());
  CHECK(run(inputs, {{{}, 1800.0}, {{}, 900.0}, {{}, 60.0}}).log_likelihood ==
        doctest::Approx(alone(inputs, {})).epsilon(1e-9));
}

TEST_CASE("a new stretch, holes in the reading and unscored blocks leave every number finite") {
  CircuitDrive drive = driven(5, 10.0, 240);
  read_off(drive, usual_circuit());
  drive.blocks[100].begins = true;
  drive.blocks[100].scored = false;
  for (std::size_t i = 150; i < 160; ++i) {
    drive.blocks[i].coolant_cc = CircuitBlock::k_no_reading;
    drive.blocks[i].scored = false;
  }
  const auto inputs = circuit_inputs({&drive, 1});
  const ByTurns turns = run(inputs, {{{}, 1800.0}, {held_open(), 900.0}});
  REQUIRE(turns.first.size() == 240 - 2 - 10);
  CHECK(std::isfinite(turns.log_likelihood));
  for (std::size_t k = 0; k < turns.first.size(); ++k) {
    CHECK(std::isfinite(turns.deviations[k]));
    CHECK(turns.first[k] >= 0.0);
    CHECK(turns.first[k] <= 1.0);
  }
}
