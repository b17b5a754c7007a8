// SPDX-License-Identifier: Apache-2.0
// Sums of drives: within each drive, and between their means.
#include "band/fold.hpp"

#include "band/moments.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace coolband {

namespace {

constexpr std::size_t k_kept_left_out = 20;

bool fits(const FoldedDrives& sums, const DriveSummary& drive) {
  return sums.between.factors == drive.moments.factors &&
         sums.ambient_mean_c.has_value() == drive.ambient_mean_c.has_value();
}

/// A mean that takes one more value, the `count`-th.
double stepped(double mean, double value, double count) { return mean + (value - mean) / count; }

/// Adds a drive's means to the moments between drives (a numerically stable update).
void add_between(FoldedDrives& sums, const DriveSummary& drive) {
  Moments& between = sums.between;
  const auto count = static_cast<double>(sums.count); // with this drive
  const double share = 1.0 / count;
  const std::size_t factors = between.factors.size();
  std::vector<double> from_mean(factors);
  for (std::size_t i = 0; i < factors; ++i) from_mean[i] = drive.moments.mean[i] - between.mean[i];
  const double spread = share * (1.0 - share);
  std::size_t place = 0;
  for (std::size_t i = 0; i < factors; ++i) {
    for (std::size_t j = 0; j <= i; ++j, ++place)
      between.covariance[place] =
          between.covariance[place] * (1.0 - share) + spread * from_mean[i] * from_mean[j];
  }
  if (drive.ambient_mean_c) {
    const double ambient = *drive.ambient_mean_c - *sums.ambient_mean_c;
    sums.ambient_variance_k2 =
        sums.ambient_variance_k2 * (1.0 - share) + spread * ambient * ambient;
    for (std::size_t i = 0; i < factors; ++i)
      sums.ambient_covariance[i] =
          sums.ambient_covariance[i] * (1.0 - share) + spread * ambient * from_mean[i];
    sums.ambient_mean_c = *sums.ambient_mean_c + share * ambient;
  }
  for (std::size_t i = 0; i < factors; ++i) between.mean[i] += share * from_mean[i];
}

void add_within(FoldedDrives& sums, const DriveSummary& drive) {
  sums.looks += drive.effective_count;
  const double share = drive.effective_count / sums.looks;
  for (std::size_t i = 0; i < sums.within.covariance.size(); ++i)
    sums.within.covariance[i] += share * (drive.moments.covariance[i] - sums.within.covariance[i]);
  const double scatter_k2 = drive.scatter_c * drive.scatter_c;
  sums.scatter_k2 += share * (scatter_k2 - sums.scatter_k2);
  sums.scatter_k4 += share * (scatter_k2 * scatter_k2 - sums.scatter_k4);
  sums.explained_k2 += share * (own_fit(drive.moments).explained_k2 - sums.explained_k2);
}

FoldedDrives none_like(const DriveSummary& drive) {
  FoldedDrives sums;
  sums.first_start = drive.start;
  sums.within = drive.moments;
  std::fill(sums.within.mean.begin(), sums.within.mean.end(), 0.0);
  std::fill(sums.within.covariance.begin(), sums.within.covariance.end(), 0.0);
  sums.between = sums.within;
  sums.between.mean = drive.moments.mean;
  if (drive.ambient_mean_c) {
    sums.ambient_mean_c = drive.ambient_mean_c;
    sums.ambient_covariance.assign(drive.moments.factors.size(), 0.0);
  }
  return sums;
}

void add(FoldedDrives& sums, const DriveSummary& drive) {
  ++sums.count;
  sums.first_start = std::min(sums.first_start, drive.start);
  sums.last_start = std::max(sums.last_start, drive.start);
  sums.warm_s += drive.warm_s;
  sums.correlation_s =
      stepped(sums.correlation_s, drive.correlation_s, static_cast<double>(sums.count));
  sums.resolution_c = std::max(sums.resolution_c, drive.resolution_c);
  add_within(sums, drive);
  add_between(sums, drive);
  widen(sums.load_seen_pct, drive.load_seen_pct);
  widen(sums.speed_seen_kmh, drive.speed_seen_kmh);
  widen(sums.climb_seen_m_per_min, drive.climb_seen_m_per_min);
  widen(sums.ambient_seen_c, drive.ambient_seen_c);
}

} // namespace

void widen(std::optional<Range>& all, const std::optional<Range>& one) {
  if (!one) return;
  if (!all) all = one;
  all->low = std::min(all->low, one->low);
  all->high = std::max(all->high, one->high);
}

bool may_be_folded(const NormalBand& band, const DriveSummary& drive) {
  return !drive.start.empty() &&
         std::any_of(band.folded.begin(), band.folded.end(), [&](const FoldedDrives& sums) {
           return !sums.last_start.empty() && drive.start <= sums.last_start;
         });
}

void fold_old_drives(NormalBand& band) {
  if (band.drives.size() > k_kept_drives) {
    const auto kept = band.drives.end() - static_cast<std::ptrdiff_t>(k_kept_drives);
    for (auto drive = band.drives.begin(); drive != kept; ++drive) {
      auto sums = std::find_if(band.folded.begin(), band.folded.end(),
                               [&](const FoldedDrives& s) { return fits(s, *drive); });
      if (sums == band.folded.end())
        sums = band.folded.insert(band.folded.end(), none_like(*drive));
      add(*sums, *drive);
    }
    band.drives.erase(band.drives.begin(), kept);
  }
  if (band.left_out.size() <= k_kept_left_out) return;
  std::sort(band.left_out.begin(), band.left_out.end(), [](const LeftOut& a, const LeftOut& b) {
    return std::tie(a.drive.start, a.drive.source) < std::tie(b.drive.start, b.drive.source);
  });
  const std::size_t gone = band.left_out.size() - k_kept_left_out;
  band.left_out.erase(band.left_out.begin(),
                      band.left_out.begin() + static_cast<std::ptrdiff_t>(gone));
  band.left_out_before += gone;
}

} // namespace coolband
