// SPDX-License-Identifier: Apache-2.0
// Schuirmann, J. Pharmacokinetics and Biopharmaceutics 15 (1987) 657-680; Welch, Biometrika 34
// (1947) 28-35 (both from memory).
#include "numeric/equivalence.hpp"

#include "numeric/distributions.hpp"
#include "numeric/special_values.hpp"

#include <cmath>
#include <limits>

namespace coolband {

namespace {

double square(double x) { return x * x; }

/// Share of a variance in the denominator of Welch's freedom.
double share(const MeanEstimate& estimate) {
  if (estimate.error == 0.0) return 0.0;
  return square(square(estimate.error)) / estimate.freedom;
}

} // namespace

MeanEstimate mean_estimate(const std::vector<double>& values) {
  const auto count = static_cast<double>(values.size());
  if (values.empty()) return {k_nan, k_nan, 0.0};
  double mean = 0.0;
  for (const double value : values) mean += value / count;
  if (values.size() == 1) return {mean, k_nan, 0.0};
  double sum = 0.0;
  for (const double value : values) sum += square(value - mean);
  return {mean, std::sqrt(sum / (count - 1.0) / count), count - 1.0};
}

Equivalence two_one_sided_tests(const MeanEstimate& a, const MeanEstimate& b, double margin,
                                double alpha) {
  Equivalence result;
  result.difference = a.mean - b.mean;
  result.error = std::hypot(a.error, b.error);
  const bool usable = result.error > 0.0 && margin > 0.0 && alpha > 0.0 && alpha < 0.5 &&
                      (a.error == 0.0 || a.freedom > 0.0) && (b.error == 0.0 || b.freedom > 0.0);
  if (!usable) return {result.difference, k_nan, k_nan, k_nan, k_nan, k_nan, k_nan};
  const double shares = share(a) + share(b);
  result.freedom = shares > 0.0 ? square(square(result.error)) / shares
                                : std::numeric_limits<double>::infinity();
  const double reach = student_t_quantile(1.0 - alpha, result.freedom) * result.error;
  result.low = result.difference - reach;
  result.high = result.difference + reach;
  result.p_above_low = student_t_cdf(-(result.difference + margin) / result.error, result.freedom);
  result.p_below_high = student_t_cdf((result.difference - margin) / result.error, result.freedom);
  return result;
}

} // namespace coolband
