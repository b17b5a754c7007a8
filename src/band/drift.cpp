// SPDX-License-Identifier: Apache-2.0
// The chart is self-starting: it needs no level or spread that somebody knows beforehand, and a
// slow drift does not widen the spread that it is measured by as long as it is new.
#include "band/drift.hpp"

#include "numeric/control_chart.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

namespace coolband {

namespace {

/// A level is told no better than this from drive to drive whatever the drives say, K: a chart must
/// not make much of a tenth of a kelvin.
constexpr double k_least_spread_c = 0.25;
constexpr std::size_t k_least_dated_drives = 8;

RunningMoments moments_of(const std::vector<LevelPoint>& points) {
  RunningMoments moments;
  moments.count = total_drives(points);
  if (moments.count <= 0.0) return moments;
  moments.mean = mean_level(points);
  for (const LevelPoint& point : points) {
    const double away_k = point.level_c - moments.mean;
    moments.m2 += point.drives * away_k * away_k;
  }
  return moments;
}

} // namespace

bool has_date(const std::string& start) {
  return start.size() >= 10 && start[4] == '-' &&
         std::isdigit(static_cast<unsigned char>(start[0])) != 0;
}

std::optional<Drift> find_drift(const std::vector<LevelPoint>& folded,
                                const std::vector<LevelPoint>& points,
                                const std::vector<DriveSummary>& drives) {
  // Without dates nobody knows which drive came first.
  const bool dated = std::all_of(drives.begin(), drives.end(),
                                 [](const DriveSummary& drive) { return has_date(drive.start); });
  if (!dated || points.size() < k_least_dated_drives) return std::nullopt;
  std::vector<double> levels;
  levels.reserve(points.size());
  for (const LevelPoint& point : points) levels.push_back(point.level_c);
  const CusumDesign design; // k 0.5, h 5: k_drives_to_false_alarm
  const auto report = self_starting_cusum(levels, design, CusumState::start(design),
                                          moments_of(folded), k_least_spread_c);
  const auto& alarm = report.chart.alarm;
  const CusumState& now = report.chart.state;
  if (!alarm || (alarm->upward ? now.high : now.low) <= design.h) return std::nullopt;
  const auto first = static_cast<std::size_t>(std::max<std::ptrdiff_t>(alarm->began, 0));
  if (first == 0) return std::nullopt;
  const auto middle = points.begin() + static_cast<std::ptrdiff_t>(first);
  std::vector<LevelPoint> before = folded;
  before.insert(before.end(), points.begin(), middle);
  const double shift_c = mean_level({middle, points.end()}) - mean_level(before);
  return Drift{drives[first].start, shift_c, points.size() - first};
}

} // namespace coolband
