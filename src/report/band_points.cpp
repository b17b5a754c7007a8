// SPDX-License-Identifier: Apache-2.0
// The drives of a band as points, brought to the reference conditions but for the one they are
// drawn over.
#include "band/moments.hpp"
#include "core/portable_math.hpp"
#include "report/band_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

/// Share of the range that is added either side of it.
constexpr double k_room = 0.12;
/// No temperature or percentage of a vehicle; a picture up to it would show nothing else.
constexpr double k_most_drawn = 1e4;

bool drawable(double value) { return std::isfinite(value) && std::abs(value) < k_most_drawn; }

/// The load whose lag is nearest to that of the band, if the drive has any.
std::optional<Factor> load_of(const Moments& moments, const NormalBand& band) {
  constexpr std::array<std::pair<Factor, double>, 3> k_lags{
      {{Factor::load_20s, 20.0}, {Factor::load_60s, 60.0}, {Factor::load_180s, 180.0}}};
  std::optional<Factor> nearest;
  double least = 0.0;
  for (const auto& [factor, lag_s] : k_lags) {
    if (!has(moments, factor)) continue;
    const double distance = std::abs(portable_log(lag_s / std::max(band.load_lag_s, 1.0)));
    if (nearest && distance >= least) continue;
    nearest = factor;
    least = distance;
  }
  return nearest;
}

/// What load adds at the mean conditions, beyond the reference.
double load_share(const Moments& moments, const NormalBand& band) {
  const auto load = load_of(moments, band);
  if (!load || !band.load_c_per_pct || !band.reference_load_pct) return 0.0;
  return *band.load_c_per_pct * (mean_of(moments, *load) - *band.reference_load_pct);
}

double ambient_share(const std::optional<double>& ambient_c, const NormalBand& band) {
  if (!ambient_c || !band.ambient_c_per_c || !band.reference_ambient_c) return 0.0;
  return *band.ambient_c_per_c * (*ambient_c - *band.reference_ambient_c);
}

/// The same of speed, standing and climbing, which no panel shows.
double other_share(const Moments& moments, const NormalBand& band) {
  double sum = 0.0;
  const auto add = [&](const std::optional<Effect>& effect, Factor factor) {
    if (effect && has(moments, factor))
      sum += effect->slope * (mean_of(moments, factor) - effect->reference);
  };
  add(band.speed, Factor::speed);
  add(band.idle, Factor::idle);
  add(band.climb, Factor::climb);
  return sum;
}

std::optional<double> own_slope(const Moments& moments, Factor load) {
  const double variance = covariance_of(moments, load, load);
  if (variance < k_least_load_scatter_pct * k_least_load_scatter_pct) return std::nullopt;
  return covariance_of(moments, Factor::coolant, load) / variance;
}

/// Calls `add(drive, kind)` for every drive that the band knows one by one. The drives since a
/// drift are the latest.
template <class Add>
void for_each_drive(const NormalBand& band, Add add) {
  const std::size_t count = band.drives.size();
  const std::size_t drifted = band.drift ? std::min(band.drift->drives, count) : 0;
  for (std::size_t i = 0; i < count; ++i)
    add(band.drives[i], i < count - drifted ? DriveKind::sound : DriveKind::since_drift);
  for (const LeftOut& left : band.left_out) add(left.drive, DriveKind::left_out);
}

void put(PanelContent& content, DrivePoint point) {
  if (!drawable(point.x) || !drawable(point.level_c)) {
    ++content.without;
    return;
  }
  if (!drawable(point.scatter_c)) point.scatter_c = 0.0;
  if (point.slope && !drawable(*point.slope)) point.slope = std::nullopt;
  content.drives.push_back(std::move(point));
}

void put(PanelContent& content, const FoldedPoint& point) {
  if (drawable(point.x) && drawable(point.level_c) && drawable(point.scatter_c) &&
      drawable(point.slope))
    content.folded.push_back(point);
  else
    content.without += point.count;
}

FoldedPoint folded_point(const FoldedDrives& sums, const NormalBand& band) {
  FoldedPoint point;
  point.count = sums.count;
  point.level_c = mean_of(sums.between, Factor::coolant) - other_share(sums.between, band);
  point.scatter_c = std::sqrt(std::max(0.0, sums.scatter_k2));
  return point;
}

} // namespace

PanelContent over_load(const NormalBand& band) {
  PanelContent content;
  content.seen = band.load_seen_pct;
  for_each_drive(band, [&](const DriveSummary& drive, DriveKind kind) {
    const auto load = load_of(drive.moments, band);
    if (!load) {
      ++content.without;
      return;
    }
    const double level = drive.level_c - other_share(drive.moments, band) -
                         ambient_share(drive.ambient_mean_c, band);
    put(content, {kind, drive.source, mean_of(drive.moments, *load), level, drive.level_c,
                  drive.scatter_c, own_slope(drive.moments, *load), drive.load_seen_pct});
  });
  for (const FoldedDrives& sums : band.folded) {
    const auto load = load_of(sums.between, band);
    if (!load) {
      content.without += sums.count;
      continue;
    }
    FoldedPoint point = folded_point(sums, band);
    point.x = mean_of(sums.between, *load);
    point.level_c -= ambient_share(sums.ambient_mean_c, band);
    point.slope = has(sums.within, *load) ? own_slope(sums.within, *load).value_or(0.0) : 0.0;
    point.seen = sums.load_seen_pct;
    put(content, point);
  }
  return content;
}

PanelContent over_ambient(const NormalBand& band) {
  PanelContent content;
  content.seen = band.ambient_seen_c;
  for_each_drive(band, [&](const DriveSummary& drive, DriveKind kind) {
    if (!drive.ambient_mean_c) {
      ++content.without;
      return;
    }
    const double level =
        drive.level_c - other_share(drive.moments, band) - load_share(drive.moments, band);
    put(content, {kind, drive.source, *drive.ambient_mean_c, level, drive.level_c, drive.scatter_c,
                  std::nullopt, drive.ambient_seen_c});
  });
  for (const FoldedDrives& sums : band.folded) {
    if (!sums.ambient_mean_c) {
      content.without += sums.count;
      continue;
    }
    FoldedPoint point = folded_point(sums, band);
    point.x = *sums.ambient_mean_c;
    point.level_c -= load_share(sums.between, band);
    point.seen = sums.ambient_seen_c;
    put(content, point);
  }
  return content;
}

Range width_of(const PanelContent& content, double least_room) {
  std::optional<Range> all;
  const auto take = [&](double value) {
    if (!drawable(value)) return;
    if (!all) all = Range{value, value};
    *all = {std::min(all->low, value), std::max(all->high, value)};
  };
  const auto take_range = [&](const std::optional<Range>& range) {
    if (!range) return;
    take(range->low);
    take(range->high);
  };
  take_range(content.seen);
  for (const DrivePoint& drive : content.drives) {
    take(drive.x);
    take_range(drive.seen);
  }
  for (const FoldedPoint& point : content.folded) {
    take(point.x);
    take_range(point.seen);
  }
  if (!all) return {0.0, 1.0};
  const double room = std::max(least_room, k_room * (all->high - all->low));
  return {all->low - room, all->high + room};
}

} // namespace coolband
