// SPDX-License-Identifier: Apache-2.0
// One implicit step of three heat capacities in a row.
#include "circuit/heat_chain.hpp"

namespace coolband {

namespace {

constexpr double k_gamma = 0.29289321881345248; // 1 - 1/sqrt(2)

/// What both stages have in common: the matrix C/(gamma step) - A, eliminated downwards.
struct Eliminated {
  ThreeNodes inertia; ///< C/(gamma step)
  double coolant_factor = 0.0;
  double radiator_factor = 0.0;
  ThreeNodes inverse_pivot;
};

Eliminated eliminate(const HeatChain& chain, double step_s) {
  Eliminated e;
  const double rate = 1.0 / (k_gamma * step_s);
  e.inertia = {chain.capacity.block * rate, chain.capacity.coolant * rate,
               chain.capacity.radiator * rate};
  e.inverse_pivot.block = 1.0 / (e.inertia.block + chain.out.block);
  e.coolant_factor = chain.block_to_coolant * e.inverse_pivot.block;
  e.inverse_pivot.coolant =
      1.0 / (e.inertia.coolant + chain.out.coolant - e.coolant_factor * chain.coolant_to_block);
  e.radiator_factor = chain.coolant_to_radiator * e.inverse_pivot.coolant;
  e.inverse_pivot.radiator = 1.0 / (e.inertia.radiator + chain.out.radiator -
                                    e.radiator_factor * chain.radiator_to_coolant);
  return e;
}

ThreeNodes stage(const HeatChain& chain, const Eliminated& e, const ThreeNodes& from) {
  const double block = e.inertia.block * from.block + chain.source.block;
  const double coolant =
      e.inertia.coolant * from.coolant + chain.source.coolant + e.coolant_factor * block;
  const double radiator =
      e.inertia.radiator * from.radiator + chain.source.radiator + e.radiator_factor * coolant;
  ThreeNodes to;
  to.radiator = radiator * e.inverse_pivot.radiator;
  to.coolant = (coolant + chain.radiator_to_coolant * to.radiator) * e.inverse_pivot.coolant;
  to.block = (block + chain.coolant_to_block * to.coolant) * e.inverse_pivot.block;
  return to;
}

ThreeNodes between(const ThreeNodes& a, const ThreeNodes& b, double share) {
  return {a.block + share * (b.block - a.block), a.coolant + share * (b.coolant - a.coolant),
          a.radiator + share * (b.radiator - a.radiator)};
}

} // namespace

ChainStep advance(const HeatChain& chain, const ThreeNodes& begin, double step_s) {
  constexpr double k_slope = (1.0 - k_gamma) / k_gamma;
  const Eliminated eliminated = eliminate(chain, step_s);
  const ThreeNodes first = stage(chain, eliminated, begin);
  const ThreeNodes second = stage(chain, eliminated, between(begin, first, k_slope));
  return {second, between(first, second, k_gamma)};
}

} // namespace coolband
