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

/// Pooled within-drive variance, each drive about its own level but with the common effects.
Within pool_within(const NormalBand& band, const Effects& effects) {
  Within pooled;
  double drives = 0.0;
  const auto add = [&](double variance, double resolution_c, double looks, double count) {
    pooled.variance += looks * std::max(variance, square(quantisation_sigma(resolution_c)));
    pooled.looks += looks;
    drives += count;
  };
  for (const DriveSummary& drive : band.drives)
    add(variance_about(drive.moments, square(drive.scatter_c), own_fit(drive.moments).explained_k2,
                       effects),
        drive.resolution_c, drive.effective_count, 1.0);
  for (const FoldedDrives& sums : band.folded)
    add(variance_about(sums.within, sums.scatter_k2, sums.explained_k2, effects), sums.resolution_c,
        sums.looks, static_cast<double>(sums.count));
  pooled.variance /= pooled.looks;
  pooled.freedom = std::max(1.0, pooled.looks - drives);
  return pooled;
}

struct Between {
  double variance = 0.0;
  double freedom = 0.0;
  double drives = 0.0;
};

/// Variance of the drive levels less what within-drive scatter alone would give them, shrunk to the
/// prior as a scaled inverse chi-squared posterior mean of the scale.
Between pool_between(const std::vector<LevelPoint>& residuals, std::size_t explained,
                     const Within& within, double looks_a_drive) {
  double sum = 0.0;
  double drives = 0.0;
  for (const LevelPoint& residual : residuals) {
    sum += residual.drives * square(residual.level_c);
    drives += residual.drives;
  }
  const double freedom = std::max(0.0, drives - 1.0 - static_cast<double>(explained));
  const double by_chance = within.variance / looks_a_drive * freedom;
  const double seen = std::max(0.0, sum - by_chance);
  return {(k_prior_freedom * square(k_prior_between_c) + seen) / (k_prior_freedom + freedom),
          k_prior_freedom + freedom, drives};
}

/// Median over the drives.
double usual_correlation(const NormalBand& band) {
  std::vector<double> times_s;
  std::vector<double> drives;
  for (const DriveSummary& drive : band.drives) {
    times_s.push_back(drive.correlation_s);
    drives.push_back(1.0);
  }
  if (band.folded.empty()) return median(std::move(times_s));
  for (const FoldedDrives& sums : band.folded) {
    times_s.push_back(sums.correlation_s);
    drives.push_back(static_cast<double>(sums.count));
  }
  return weighted_median(times_s, drives);
}

} // namespace

double quantisation_sigma(double resolution_c) { return resolution_c / std::sqrt(12.0); }

void add_spread(NormalBand& band, const Effects& effects, const std::vector<LevelPoint>& residuals,
                std::size_t explained) {
  const Within within = pool_within(band, effects);
  const double looks_a_drive = within.looks / static_cast<double>(band.drive_count());
  const Between between = pool_between(residuals, explained, within, looks_a_drive);
  const double total = within.variance + between.variance;
  band.within_c = std::sqrt(within.variance);
  band.between_c = std::sqrt(between.variance);
  // Satterthwaite: the freedom of a sum of two independent variance estimates.
  band.freedom = square(total) / (square(within.variance) / within.freedom +
                                  square(between.variance) / between.freedom);
  const double centre_variance =
      between.variance / between.drives + within.variance / (looks_a_drive * between.drives);
  band.centre_error_c = std::sqrt(centre_variance);
  const double k =
      tolerance_factor(total / centre_variance, band.freedom, band.content, band.confidence);
  band.half_width_c = k * std::sqrt(total);
  band.correlation_s = usual_correlation(band);
}

} // namespace coolband
