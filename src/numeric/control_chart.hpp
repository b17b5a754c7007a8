// SPDX-License-Identifier: Apache-2.0
// Charts that tell a lasting small shift from scatter, and how long they run before an alarm.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace coolband {

/// Two-sided tabular CUSUM (Page, Biometrika 41 (1954) 100-115) of values in units of their
/// standard deviation: high = max(0, high + z - k), low = max(0, low - z - k), alarm above h.
struct CusumDesign {
  double k = 0.5;          ///< >= 0; half of the shift to be found
  double h = 5.0;          ///< > 0; by cusum_limit for a stated run length
  double head_start = 0.0; ///< 0 to h, both sums at the very start (fast initial response)

  /// Empty when usable, else "name = value: violated rule".
  [[nodiscard]] std::string validate() const;
};

/// Where a chart stands; kept between calls it goes on as if all values had come at once.
struct CusumState {
  double high = 0.0;
  double low = 0.0;
  std::size_t high_run = 0; ///< values since `high` last left 0 (or the head start)
  std::size_t low_run = 0;

  static CusumState start(const CusumDesign& design);
};

struct CusumPoint {
  double score = 0.0; ///< the standardised value; NaN where there is none, then the sums stay
  double high = 0.0;
  double low = 0.0;
};

struct CusumAlarm {
  std::size_t index = 0;    ///< of the value that took a sum above h
  std::ptrdiff_t began = 0; ///< of the first value of the run that led there, the likely place of
                            ///< the shift; below 0: that many values before this call
  bool upward = false;
};

struct CusumReport {
  std::vector<CusumPoint> points;  ///< one a value
  std::optional<CusumAlarm> alarm; ///< the first; the sums go on behind it without a reset
  std::size_t without_score = 0;   ///< values that moved no sum
  CusumState state;                ///< after the last value
};

/// Values with known mean 0 and standard deviation 1. One that is not a number has no score.
/// The design must be usable.
CusumReport cusum(std::span<const double> scores, const CusumDesign& design,
                  const CusumState& start);
CusumReport cusum(std::span<const double> scores, const CusumDesign& design);

/// Count, mean and sum of squared deviations of all values so far (Welford).
struct RunningMoments {
  double count = 0.0;
  double mean = 0.0;
  double m2 = 0.0;

  void add(double value);
};

struct SelfStartingReport {
  CusumReport chart;
  RunningMoments moments; ///< after the last value
};

/// Self-starting CUSUM (Hawkins, The Statistician 36 (1987) 299-315; from memory): each value is
/// compared with the mean and the standard deviation of the n values before it. With
/// T = √(n/(n+1)) (x - mean)/s, which has Student's t with n - 1 degrees in control, the score is
/// Φ⁻¹(F(T)): independent standard normals from the first scored value on, so that run lengths are
/// those of the plain chart and no mean or spread need be known.
/// Every value, alarm or not, enters the moments: a shift that goes on is taken for normal in the
/// end, and must be answered by a new start. The first values have no score: until two came before
/// (`moments` may bring them), and while all before are equal.
/// `least_spread` (>= 0) keeps s from falling below it, e.g. the resolution / √12.
SelfStartingReport self_starting_cusum(std::span<const double> values, const CusumDesign& design,
                                       const CusumState& start, const RunningMoments& moments,
                                       double least_spread = 0.0);
SelfStartingReport self_starting_cusum(std::span<const double> values, const CusumDesign& design);

/// Average number of independent N(shift, 1) values up to and with the alarm, by the integral
/// equation of Page (Goel & Wu, Technometrics 13 (1971) 221-230) solved at Gauss-Legendre nodes.
/// Relative error about 1e-14 times the length itself; infinite above 1e10. NaN for an unusable
/// design or h above 50. Serial correlation makes it meaningless: chart one value a drive.
double cusum_average_run_length(double shift, const CusumDesign& design);
/// The same of the upper sum alone.
double one_sided_cusum_run_length(double shift, const CusumDesign& design);

/// h for which the two-sided chart without head start has this average run length (2 to 1e9) at no
/// shift. NaN for arguments out of range, and where no h from 1e-6 to 50 gives it.
double cusum_limit(double average_run_length, double k);

/// EWMA z = (1 - lambda) z + lambda x from 0, alarm outside ± limit √(lambda/(2 - lambda)):
/// lambda 0.002 to 1, limit > 0 to 10, else NaN. Average run length as above (Crowder,
/// Technometrics 29 (1987) 401-407; from memory). lambda = 1 is the Shewhart chart.
double ewma_average_run_length(double shift, double lambda, double limit);

} // namespace coolband
