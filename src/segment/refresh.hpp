// SPDX-License-Identifier: Apache-2.0
// How often a column really brings a new value.
#pragma once

#include "coolband/segment/trip.hpp"

#include <optional>
#include <span>
#include <vector>

namespace coolband {

/// Takes the rows of one column in order and watches when the value changes.
///
/// A value that is polled every P seconds changes at multiples of P only. The shortest tenth of the
/// times between changes tells P when the signal moves at nearly every poll: when most of those
/// times are about equally short and most changes are of more than the smallest step (engine speed,
/// road speed under way), or when they are as short as the rows allow. A slow reading in coarse
/// steps (coolant) changes when it has moved a step, so the same figure is an upper bound.
class RefreshWatch {
 public:
  /// The next rows: a time in s and a value each, NaN where the cell is empty.
  void add(std::span<const double> times_s, std::span<const float> values);
  void add(double time_s, float value) { add({&time_s, 1}, {&value, 1}); }

  /// Nothing when the column hardly changed.
  [[nodiscard]] std::optional<Refresh> estimate(Role role, double row_period_s) const;

 private:
  void add_one(double time_s, float value);
  void add_known(std::span<const double> times_s, std::span<const float> values);
  void add_change(double time_s, float value);

  std::vector<float> intervals_s_; ///< between two changes
  std::vector<float> sizes_;       ///< of the change that ends the interval
  std::vector<float> arrivals_s_;  ///< between two values with empty cells between them
  std::size_t rows_ = 0;
  std::size_t known_ = 0;
  bool blank_ = false; ///< the rows behind the last value have none
  float last_ = 0.0F;
  double last_s_ = 0.0;
  std::optional<double> changed_s_;
};

} // namespace coolband
