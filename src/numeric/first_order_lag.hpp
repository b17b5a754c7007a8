// SPDX-License-Identifier: Apache-2.0
// A first-order lag over an unevenly sampled series.
#pragma once

#include "core/portable_math.hpp"

#include <cmath>

namespace coolband {

/// y += (x - y)(1 - exp(-Δt/lag)); starts at the first known value and holds over unknown ones.
class FirstOrderLag {
 public:
  explicit FirstOrderLag(double lag_s) : lag_s_(lag_s) {}

  /// The lagged value at `time_s`, when the series has `value` (NaN: not known) since the time
  /// before. NaN until a value was known.
  double next(double value, double time_s) {
    if (std::isnan(value)) return lagged_;
    lagged_ =
        std::isnan(lagged_) ? value : lagged_ + (value - lagged_) * share_after(time_s - before_s_);
    before_s_ = time_s;
    return lagged_;
  }

 private:
  /// Most steps are as long as the one before.
  double share_after(double step_s) {
    if (step_s != step_s_) share_ = 1.0 - portable_exp(-step_s / lag_s_);
    step_s_ = step_s;
    return share_;
  }

  double lag_s_;
  double step_s_ = std::nan("");
  double share_ = 0.0;
  double lagged_ = std::nan("");
  double before_s_ = 0.0;
};

} // namespace coolband
