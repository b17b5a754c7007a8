// SPDX-License-Identifier: Apache-2.0
// The conditions that the coolant answers to, block after block.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "numeric/first_order_lag.hpp"

#include <array>

namespace coolband {

/// Lag of speed, standing and climbing, s (the middle of the lags of load).
inline constexpr double k_condition_lag_s = 60.0;
inline constexpr std::array<double, 3> k_load_lags_s{20.0, 60.0, 180.0};
/// Slower than this a vehicle stands, km/h.
inline constexpr double k_standing_kmh = 3.0;

/// Goes over the blocks of a trip in order, each exactly once.
class ConditionWalk {
 public:
  explicit ConditionWalk(const Blocks& blocks) : blocks_(blocks) {}

  /// To the next block.
  void step();
  /// Lagged value of a factor in this block; NaN where it is not known. For the coolant the
  /// reading.
  [[nodiscard]] double value(Factor factor) const {
    return values_[static_cast<std::size_t>(factor)];
  }
  /// As the predictor wants them; the load as the blocks have it lagged.
  [[nodiscard]] Conditions conditions() const;

 private:
  double height_gain();

  const Blocks& blocks_;
  std::size_t next_ = 0;
  std::array<double, k_factor_count> values_{};
  std::array<FirstOrderLag, 3> loads_{FirstOrderLag(k_load_lags_s[0]),
                                      FirstOrderLag(k_load_lags_s[1]),
                                      FirstOrderLag(k_load_lags_s[2])};
  FirstOrderLag speed_{k_condition_lag_s};
  FirstOrderLag idle_{k_condition_lag_s};
  FirstOrderLag climb_{k_condition_lag_s};
  double height_m_ = std::nan("");
  double height_s_ = 0.0;
};

} // namespace coolband
