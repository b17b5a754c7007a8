// SPDX-License-Identifier: Apache-2.0
// Two components of variance: between drives, and within a drive.
#include "band/spread.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/distributions.hpp"
#include "numeric/find_root.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

double square(double x) { return x * x; }

/// Up to 1/√n = 1.25; the centre of a band is seldom worth less anywhere.
constexpr std::size_t k_widening_steps = 6;
constexpr double k_endless = 1e9;

struct Within {
  double variance = 0.0;
  double looks = 0.0; ///< independent looks in all drives together
  double freedom = 0.0;
};

/// How much the variances of drives differ beyond chance, as a squared coefficient of variation,
/// and how many drives this guess is worth (common practice, no source).
constexpr double k_prior_unevenness = 0.5;
constexpr double k_prior_unevenness_drives = 2.0;

/// Of one drive about its own level; rounding alone makes some.
double variance_within(const DriveSummary& drive, const Effects& effects) {
  return std::max(variance_about(drive, effects), square(quantisation_sigma(drive.resolution_c)));
}

/// Pooled within-drive variance, each drive about its own level but with the common effects. Its
/// freedom counts drives, whose variances differ (towns, hills, winds), not only looks: that of a
/// mean of `drives` variances with the scatter that they show.
Within pool_within(const NormalBand& band, const Effects& effects) {
  Within pooled;
  double drives = 0.0;
  double squares = 0.0;
  const auto add = [&](double variance, double square_of_it, double looks, double count) {
    pooled.variance += looks * variance;
    squares += looks * square_of_it;
    pooled.looks += looks;
    drives += count;
  };
  for (const DriveSummary& drive : band.drives) {
    const double variance = variance_within(drive, effects);
    add(variance, square(variance), drive.effective_count, 1.0);
  }
  for (const FoldedDrives& sums : band.folded) {
    const double variance =
        std::max(variance_about(sums.within, sums.scatter_k2, sums.explained_k2, effects),
                 square(quantisation_sigma(sums.resolution_c)));
    const double unevenness = sums.scatter_k4 / std::max(square(sums.scatter_k2), 1e-12);
    add(variance, square(variance) * unevenness, sums.looks, static_cast<double>(sums.count));
  }
  pooled.variance /= pooled.looks;
  const double unevenness =
      std::max(0.0, squares / pooled.looks / std::max(square(pooled.variance), 1e-12) - 1.0);
  const double shrunk = (k_prior_unevenness_drives * k_prior_unevenness + drives * unevenness) /
                        (k_prior_unevenness_drives + drives);
  pooled.freedom = std::clamp(2.0 * drives / shrunk, 1.0, std::max(1.0, pooled.looks - drives));
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

/// Part of normal running, as a normal distribution about the centre.
struct Component {
  double offset_c = 0.0;
  double sigma_c = 0.0;
  double drives = 0.0;
};

/// Each drive with its own level and scatter; folded ones with what they have in common.
std::vector<Component> components_of(const NormalBand& band, const Effects& effects,
                                     const LevelResiduals& residuals) {
  std::vector<Component> components;
  for (std::size_t i = 0; i < residuals.drives.size(); ++i) {
    const DriveSummary& drive = band.drives[i];
    components.push_back(
        {residuals.drives[i].level_c, std::sqrt(variance_within(drive, effects)), 1.0});
  }
  for (const LevelPoint& point : residuals.folded)
    components.push_back({point.level_c, band.within_c, point.drives});
  return components;
}

/// How much further than a normal distribution of the same spread the drives as they are reach, so
/// that `content` of their running lies inside: warm and cold seasons without a thermometer, quiet
/// and lively drives. At least 1, and trusted as far as there are drives to show it.
double shape_factor(const std::vector<Component>& components, double spread_c, double content) {
  double drives = 0.0;
  for (const Component& component : components) drives += component.drives;
  const auto missing = [&](double half_c) {
    double inside = 0.0;
    for (const Component& c : components)
      inside += c.drives * (normal_cdf((half_c - c.offset_c) / c.sigma_c) -
                            normal_cdf((-half_c - c.offset_c) / c.sigma_c));
    return inside / drives - content;
  };
  const double normal_c = normal_quantile((1.0 + content) / 2.0) * spread_c;
  const double reached_c = find_root(missing, 0.0, 10.0 * normal_c, 1e-6);
  constexpr double k_drives_to_trust = 5.0;
  const double trust = drives / (drives + k_drives_to_trust);
  return 1.0 + trust * std::max(0.0, reached_c / normal_c - 1.0);
}

} // namespace

double quantisation_sigma(double resolution_c) { return resolution_c / std::sqrt(12.0); }

void add_spread(NormalBand& band, const Effects& effects, const LevelResiduals& residuals,
                std::size_t explained) {
  std::vector<LevelPoint> all = residuals.folded;
  all.insert(all.end(), residuals.drives.begin(), residuals.drives.end());
  const Within within = pool_within(band, effects);
  const double looks_a_drive = within.looks / static_cast<double>(band.drive_count());
  const Between between = pool_between(all, explained, within, looks_a_drive);
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
  const double shape =
      shape_factor(components_of(band, effects, residuals), std::sqrt(total), band.content);
  band.half_width_c = k * shape * std::sqrt(total);
  for (std::size_t i = 0; i < k_widening_steps; ++i) {
    const double root = k_widening_step * static_cast<double>(i);
    const double count = root > 0.0 ? 1.0 / (root * root) : k_endless;
    band.widening.push_back(tolerance_factor(count, band.freedom, band.content, band.confidence) /
                            k);
  }
  band.correlation_s = usual_correlation(band);
}

} // namespace coolband
