// SPDX-License-Identifier: Apache-2.0
// The implicit step: its balance, its order, its calm with a capacity of nearly nothing.
#include "circuit/heat_chain.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;

namespace {

HeatChain usual() {
  HeatChain chain;
  chain.capacity = {120.0, 29.0, 18.0};
  chain.block_to_coolant = chain.coolant_to_block = 1.5;
  chain.radiator_to_coolant = 0.8;
  chain.coolant_to_radiator = 0.7; // the rest goes to the air by the inlet's temperature
  chain.out = {1.52, 2.3, 1.2};
  chain.source = {14.0, 1.0, 10.0};
  return chain;
}

ThreeNodes run(const HeatChain& chain, double step_s, double seconds) {
  ThreeNodes at{20.0, 15.0, 10.0};
  const int steps = static_cast<int>(std::lround(seconds / step_s));
  for (int i = 0; i < steps; ++i) at = advance(chain, at, step_s).end;
  return at;
}

double distance(const ThreeNodes& a, const ThreeNodes& b) {
  return std::abs(a.block - b.block) + std::abs(a.coolant - b.coolant) +
         std::abs(a.radiator - b.radiator);
}

} // namespace

TEST_CASE("half the step, a quarter of the error") {
  const ThreeNodes exact = run(usual(), 1.0 / 256.0, 32.0);
  double before = distance(run(usual(), 4.0, 32.0), exact);
  for (const double step_s : {2.0, 1.0, 0.5, 0.25}) {
    const double error = distance(run(usual(), step_s, 32.0), exact);
    CHECK(before / error > 3.5);
    CHECK(before / error < 4.6);
    before = error;
  }
}

TEST_CASE("what goes in at the mean temperatures is what stays") {
  for (const double step_s : {1e-3, 0.5, 1.0, 100.0}) {
    const HeatChain c = usual();
    const ThreeNodes begin{20.0, 90.0, 10.0};
    const ChainStep done = advance(c, begin, step_s);
    const double block_kw =
        c.source.block - c.out.block * done.mean.block + c.coolant_to_block * done.mean.coolant;
    const double coolant_kw = c.source.coolant - c.out.coolant * done.mean.coolant +
                              c.block_to_coolant * done.mean.block +
                              c.radiator_to_coolant * done.mean.radiator;
    const double radiator_kw = c.source.radiator - c.out.radiator * done.mean.radiator +
                               c.coolant_to_radiator * done.mean.coolant;
    CHECK(c.capacity.block * (done.end.block - begin.block) ==
          doctest::Approx(block_kw * step_s).epsilon(1e-9));
    CHECK(c.capacity.coolant * (done.end.coolant - begin.coolant) ==
          doctest::Approx(coolant_kw * step_s).epsilon(1e-9));
    CHECK(c.capacity.radiator * (done.end.radiator - begin.radiator) ==
          doctest::Approx(radiator_kw * step_s).epsilon(1e-9));
  }
}

TEST_CASE("a coolant of next to no capacity goes straight to its balance") {
  HeatChain chain = usual();
  chain.capacity.coolant = 1e-6;
  ThreeNodes at{80.0, 20.0, 60.0};
  for (int i = 0; i < 20; ++i) {
    at = advance(chain, at, 1.0).end;
    CHECK(at.coolant > 20.0);
    CHECK(at.coolant < 100.0);
  }
  const double balance = (chain.source.coolant + chain.block_to_coolant * at.block +
                          chain.radiator_to_coolant * at.radiator) /
                         chain.out.coolant;
  CHECK(at.coolant == doctest::Approx(balance).epsilon(1e-3));
}
