// SPDX-License-Identifier: Apache-2.0
// The few distribution functions that the band needs, and the factors of a tolerance interval.
// An argument outside its range gives NaN.
#pragma once

namespace coolband {

/// Standard normal.
double normal_density(double z);
double normal_cdf(double z);
/// Inverse of normal_cdf for p in (0, 1); ±infinity at the ends.
double normal_quantile(double p);

/// Chi-squared with `freedom` > 0 degrees (need not be whole), for more than one place: what rests
/// on the freedom alone is found once.
class ChiSquared {
 public:
  explicit ChiSquared(double freedom);

  struct Place {
    double cdf;     ///< P(X <= x)
    double density; ///< 0 for x <= 0
  };
  [[nodiscard]] Place at(double x) const;

 private:
  [[nodiscard]] double front(double x) const;

  double a_;         ///< half the freedom
  double gamma_;     ///< Γ(a), of a small one
  double root_;      ///< √(a / 2π)
  double remainder_; ///< of Stirling's series, of a large one
};

/// P(X <= x) of chi-squared with `freedom` > 0 degrees (need not be whole).
double chi_squared_cdf(double x, double freedom);
/// Its density; 0 for x <= 0.
double chi_squared_density(double x, double freedom);
double chi_squared_quantile(double p, double freedom);

/// Student's t with `freedom` > 0 degrees (need not be whole; infinite: the normal).
double student_t_cdf(double t, double freedom);
double student_t_quantile(double p, double freedom);

/// Regularised incomplete beta function I_x(a, b), a and b > 0, and its inverse in x.
double beta_cdf(double x, double a, double b);
double beta_quantile(double p, double a, double b);

/// Two-sided normal tolerance factor k by the exact method: mean ± k·s holds at least `content` of
/// the population with probability `confidence`, where the mean rests on `n` > 0 effective
/// observations and s on `freedom` > 0 degrees. (For a plain sample freedom = n - 1.)
/// Solves 2√n ∫₀^∞ P(χ²_ν > ν r(z)²/k²) φ(√n z) dz = confidence with Φ(z+r) - Φ(z-r) = content.
double tolerance_factor(double n, double freedom, double content, double confidence);

/// The same by Howe's approximation (NIST/SEMATECH e-Handbook 7.2.6.3), for comparison.
double tolerance_factor_howe(double n, double freedom, double content, double confidence);

} // namespace coolband
