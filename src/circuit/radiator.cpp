// SPDX-License-Identifier: Apache-2.0
// Heat exchangers by effectiveness and number of transfer units.
#include "circuit/radiator.hpp"

#include "core/portable_math.hpp"

#include <cmath>

namespace coolband {

namespace {

// Below this ratio of the capacity rates the formulas divide nothing by nothing; all of them tend
// to that of an exchanger one side of which keeps its temperature.
constexpr double k_one_sided = 1e-9;

double effectiveness_one_sided(double transfer_units) { return -portable_expm1(-transfer_units); }

} // namespace

double effectiveness_larger_mixed(double transfer_units, double ratio) {
  const double own = 1.0 - portable_exp(-transfer_units);
  if (ratio < k_one_sided) return own;
  return (1.0 - portable_exp(-ratio * own)) / ratio;
}

double effectiveness_counterflow(double transfer_units, double ratio) {
  if (ratio < k_one_sided) return effectiveness_one_sided(transfer_units);
  if (1.0 - ratio < k_one_sided) return transfer_units / (1.0 + transfer_units);
  const double left = portable_exp(-transfer_units * (1.0 - ratio));
  return (1.0 - left) / (1.0 - ratio * left);
}

double effectiveness_both_unmixed(double transfer_units, double ratio) {
  if (ratio < k_one_sided || transfer_units <= 0.0) return effectiveness_one_sided(transfer_units);
  const double inner = portable_expm1(-ratio * portable_pow(transfer_units, 0.78));
  return -portable_expm1(portable_pow(transfer_units, 0.22) / ratio * inner);
}

} // namespace coolband
