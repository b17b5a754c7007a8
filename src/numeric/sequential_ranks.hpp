// SPDX-License-Identifier: Apache-2.0
// Scores for a chart that know neither the mean, nor the spread, nor the shape of what is charted.
#pragma once

#include <cstddef>
#include <vector>

namespace coolband {

/// Each value by its rank R among the first i: Φ⁻¹((R - ½)/i). For independent values of one
/// distribution, whatever it is, the ranks are independent and each of 1..i is as likely (McDonald,
/// Naval Research Logistics 37 (1990) 627-646; from memory), so that scores are those of a normal,
/// in steps that get finer: none can be far out by chance while little was seen before, and a wild
/// value counts no more than the largest.
class SequentialRanks {
 public:
  /// The score of the next value, which must be finite; 0 for the first. Equal values share the
  /// mean of their ranks.
  double score(double value);

  [[nodiscard]] std::size_t size() const { return seen_.size(); }

 private:
  std::vector<double> seen_; ///< ascending
};

} // namespace coolband
