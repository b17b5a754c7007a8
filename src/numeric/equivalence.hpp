// SPDX-License-Identifier: Apache-2.0
// Whether two means lie within a margin of each other: two one-sided tests.
#pragma once

#include <vector>

namespace coolband {

/// A mean and how well it is known.
struct MeanEstimate {
  double mean = 0.0;
  double error = 0.0;   ///< standard error, 0 or more
  double freedom = 0.0; ///< degrees of freedom of the error; infinite: the error is known
};

/// Of a plain sample; one value alone has no error that it could show: NaN, freedom 0.
MeanEstimate mean_estimate(const std::vector<double>& values);

struct Equivalence {
  double difference = 0.0;
  double error = 0.0;
  double freedom = 0.0; ///< Welch's
  double low = 0.0;     ///< the 1 - 2 alpha interval of the difference
  double high = 0.0;
  double p_above_low = 1.0;  ///< of the test that the difference is not above -margin
  double p_below_high = 1.0; ///< of the test that it is not below +margin

  /// The larger of the two: equivalent at level alpha where it is below alpha, which is where the
  /// interval lies within the margin.
  [[nodiscard]] double p() const { return p_above_low > p_below_high ? p_above_low : p_below_high; }
};

/// Schuirmann's two one-sided tests of `a` less `b` against ±`margin` > 0, variances not taken to
/// be equal (Welch). Everything is NaN where an error is unknown, or both are 0.
Equivalence two_one_sided_tests(const MeanEstimate& a, const MeanEstimate& b, double margin,
                                double alpha);

} // namespace coolband
