// SPDX-License-Identifier: Apache-2.0
// Scores for a chart that know no spread beforehand and that no wild value can rule.
#pragma once

#include <cstddef>
#include <vector>

namespace coolband {

/// Residuals about 0, one after another, each over the spread of those before it. With s = 1.4826
/// median|r| of n residuals, r/s has about Student's t with 0.37 n degrees of freedom (the
/// efficiency of the MAD), and Φ⁻¹(F(r/s)) is about normal; it is held within ± `k_most_score`.
/// What is left of the normal has lighter tails than it; a sum of what is left of Student's t with
/// three degrees of freedom grows about as that of a normal does.
class BoundedScores {
 public:
  /// `least_spread` (> 0): s is never below.
  explicit BoundedScores(double least_spread) : least_spread_(least_spread) {}

  /// The score of the next residual, which must be finite. 0 for the first `k_unscored`.
  double score(double residual);
  /// s of the residuals so far; `least_spread` while there are fewer than `k_unscored`.
  [[nodiscard]] double spread() const;

  static constexpr double k_most_score = 2.0;
  static constexpr std::size_t k_unscored = 8;

 private:
  double least_spread_;
  std::vector<double> sizes_; ///< |r| so far, ascending
};

} // namespace coolband
