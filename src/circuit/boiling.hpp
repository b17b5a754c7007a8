// SPDX-License-Identifier: Apache-2.0
// The boiling point, cheap enough to be asked every step.
#pragma once

#include "coolband/circuit/coolant_fluid.hpp"

namespace coolband {

/// `boiling_point_c` between pressures 2 kPa apart, joined by straight lines: 0.01 K below it at
/// most, from 50 kPa on. Pressures are held within 20..900 kPa.
class BoilingCurve {
 public:
  explicit BoilingCurve(const CoolantMix& mix) : mix_(mix) {}
  double at(double pressure_kpa);

 private:
  CoolantMix mix_;
  double from_kpa_ = -1.0;
  double from_c_ = 0.0;
  double to_c_ = 0.0;
};

} // namespace coolband
