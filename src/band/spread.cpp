// SPDX-License-Identifier: Apache-2.0
// Two components of variance: between drives, and within a drive.
#include "band/spread.hpp"

#include "coolband/numeric/distributions.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

double square(double x) { return x * x; }

struct Within {
  double variance = 0.0;
  double looks = 0.0; ///< independent looks in all drives together
  double freedom = 0.0;
};

/// Pooled within-drive variance, each drive about its own level but with the common load slope.
Within pool_within(const NormalBand& band) {
  Within pooled;
  for (const DriveSummary& drive : band.drives) {
    double variance = square(drive.scatter_c);
    if (drive.load_slope && band.load_c_per_pct) {
      variance +=
          square((*drive.load_slope - *band.load_c_per_pct) * drive.load_scatter_pct.value_or(0.0));
    }
    variance = std::max(variance, square(quantisation_sigma(drive.resolution_c)));
    pooled.variance += variance * drive.effective_count;
    pooled.looks += drive.effective_count;
  }
  pooled.variance /= pooled.looks;
  pooled.freedom = std::max(1.0, pooled.looks - static_cast<double>(band.drives.size()));
  return pooled;
}

struct Between {
  double variance = 0.0;
  double freedom = 0.0;
};

/// Variance of the drive levels less what within-drive scatter alone would give them, shrunk to the
/// prior as a scaled inverse chi-squared posterior mean of the scale.
Between pool_between(const std::vector<double>& residuals, std::size_t explained,
                     const Within& within) {
  double sum = 0.0;
  for (const double residual : residuals) sum += square(residual);
  const auto drives = static_cast<double>(residuals.size());
  const double freedom = std::max(0.0, drives - 1.0 - static_cast<double>(explained));
  const double by_chance = within.variance * drives / within.looks * freedom;
  const double seen = std::max(0.0, sum - by_chance);
  return {(k_prior_freedom * square(k_prior_between_c) + seen) / (k_prior_freedom + freedom),
          k_prior_freedom + freedom};
}

} // namespace

double quantisation_sigma(double resolution_c) { return resolution_c / std::sqrt(12.0); }

void add_spread(NormalBand& band, const std::vector<double>& residual_levels_c,
                std::size_t explained, const LearnOptions& options) {
  const Within within = pool_within(band);
  const Between between = pool_between(residual_levels_c, explained, within);
  const double total = within.variance + between.variance;
  band.within_c = std::sqrt(within.variance);
  band.between_c = std::sqrt(between.variance);
  // Satterthwaite: the freedom of a sum of two independent variance estimates.
  band.freedom = square(total) / (square(within.variance) / within.freedom +
                                  square(between.variance) / between.freedom);
  const double centre_variance =
      between.variance / static_cast<double>(band.drives.size()) + within.variance / within.looks;
  band.centre_error_c = std::sqrt(centre_variance);
  const double k =
      tolerance_factor(total / centre_variance, band.freedom, options.content, options.confidence);
  band.half_width_c = k * std::sqrt(total);
  std::vector<double> correlation;
  for (const DriveSummary& drive : band.drives) correlation.push_back(drive.correlation_s);
  band.correlation_s = median(std::move(correlation));
}

} // namespace coolband
