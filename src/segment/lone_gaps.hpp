// SPDX-License-Identifier: Apache-2.0
// The coolant reading missing where the rest of the row is there: a loose plug, or a sensor that
// does not answer.
#pragma once

#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <optional>

namespace coolband {

/// To be fed the rows of one trip in order.
class LoneGaps {
 public:
  /// `beside`: whether another column of the log has a value in this row.
  void add(std::size_t row, double time_s, bool reading, bool beside);
  /// Nothing where the reading was never missing alone for three rows; nor where it is missing in
  /// more than a fifth of the rows, as where a logger asks for it now and then only; nor where the
  /// other column is missing alone a third as often, since then it is the logger that skips.
  [[nodiscard]] std::optional<MissingReading> found() const;

 private:
  std::size_t rows_ = 0;
  std::size_t missing_rows_ = 0;
  std::size_t lone_rows_ = 0;  ///< reading missing, the other there
  std::size_t other_rows_ = 0; ///< the other way round
  std::size_t run_rows_ = 0;   ///< lone rows up to the latest
  std::size_t run_row_ = 0;
  double run_from_s_ = 0.0;
  MissingReading gaps_;
};

} // namespace coolband
