// SPDX-License-Identifier: Apache-2.0
// One implicit step of three heat capacities in a row.
#include "circuit/heat_chain.hpp"

namespace coolband {

namespace {

constexpr double k_gamma = 0.29289321881345248; // 1 - 1/sqrt(2)

/// The inverse of C/(gamma step) - A, which both stages have in common, by its cofactors: without
/// a division waiting for another.
struct Inverse {
  ThreeNodes inertia; ///< C/(gamma step)
  ThreeNodes block;   ///< the block's row: by what each node's right side counts
  ThreeNodes coolant;
  ThreeNodes radiator;
};

Inverse inverse_of(const HeatChain& chain, double step_s) {
  const double rate = 1.0 / (k_gamma * step_s);
  const ThreeNodes inertia{chain.capacity.block * rate, chain.capacity.coolant * rate,
                           chain.capacity.radiator * rate};
  const double block = inertia.block + chain.out.block;
  const double coolant = inertia.coolant + chain.out.coolant;
  const double radiator = inertia.radiator + chain.out.radiator;
  const double warm_side = block * coolant - chain.block_to_coolant * chain.coolant_to_block;
  const double cold_side =
      coolant * radiator - chain.coolant_to_radiator * chain.radiator_to_coolant;
  const double scale =
      1.0 / (block * cold_side - chain.block_to_coolant * chain.coolant_to_block * radiator);
  const double block_scaled = block * scale;
  const double radiator_scaled = radiator * scale;
  return {inertia,
          {cold_side * scale, chain.coolant_to_block * radiator_scaled,
           chain.coolant_to_block * chain.radiator_to_coolant * scale},
          {chain.block_to_coolant * radiator_scaled, block * radiator_scaled,
           chain.radiator_to_coolant * block_scaled},
          {chain.block_to_coolant * chain.coolant_to_radiator * scale,
           chain.coolant_to_radiator * block_scaled, warm_side * scale}};
}

double product(const ThreeNodes& a, const ThreeNodes& b) {
  return a.block * b.block + a.coolant * b.coolant + a.radiator * b.radiator;
}

ThreeNodes stage(const Inverse& inverse, const ThreeNodes& source, const ThreeNodes& from) {
  const ThreeNodes right{inverse.inertia.block * from.block + source.block,
                         inverse.inertia.coolant * from.coolant + source.coolant,
                         inverse.inertia.radiator * from.radiator + source.radiator};
  return {product(inverse.block, right), product(inverse.coolant, right),
          product(inverse.radiator, right)};
}

ThreeNodes between(const ThreeNodes& a, const ThreeNodes& b, double share) {
  return {a.block + share * (b.block - a.block), a.coolant + share * (b.coolant - a.coolant),
          a.radiator + share * (b.radiator - a.radiator)};
}

} // namespace

ChainStep advance(const HeatChain& chain, const ThreeNodes& begin, double step_s) {
  constexpr double k_slope = (1.0 - k_gamma) / k_gamma;
  const Inverse inverse = inverse_of(chain, step_s);
  const ThreeNodes first = stage(inverse, chain.source, begin);
  const ThreeNodes second = stage(inverse, chain.source, between(begin, first, k_slope));
  return {second, between(first, second, k_gamma)};
}

} // namespace coolband
