// SPDX-License-Identifier: Apache-2.0
// Each value of a series beside what the values before it foretell under its conditions.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace coolband {

/// Regression y = a + Σ bⱼ xⱼ + e that goes on value by value. Its residuals, each against the
/// coefficients of the values before and over the standard error of that prediction, are
/// independent and alike where the model holds (recursive residuals: Brown, Durbin & Evans, J. R.
/// Statist. Soc. B 37 (1975) 149-163; from memory). Conditions not met before make the standard
/// error large, and so the residual small: a first summer is no alarm.
/// The level a is not known beforehand; each bⱼ is 0 ± `slope_errors[j]` (> 0) in units of the
/// scatter of y. A large residual moves the coefficients no more than one at a bound would.
class RecursiveResiduals {
 public:
  explicit RecursiveResiduals(std::span<const double> slope_errors);

  /// The standardised residual of the next value. `x`: one a slope. `variance`: of its error, that
  /// of a usual value being 1 (> 0). `bound`: in standard errors (> 0). About 0 for the first
  /// value, which gives the level.
  double residual(double y, std::span<const double> x, double variance, double bound = 3.0);

  /// The bⱼ as they are known now.
  [[nodiscard]] std::span<const double> slopes() const {
    return std::span(coefficients_).subspan(1);
  }

 private:
  [[nodiscard]] std::vector<double> gain_direction(std::span<const double> row) const;

  std::vector<double> coefficients_; ///< level first
  std::vector<double> covariance_;   ///< rows one after another
};

} // namespace coolband
