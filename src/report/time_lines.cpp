// SPDX-License-Identifier: Apache-2.0
// Values over time as lines and areas.
#include "report/time_lines.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

void end_stretch(std::vector<Stretch>& stretches, Stretch& open) {
  if (!open.empty()) stretches.push_back(std::move(open));
  open.clear();
}

bool follows_a_hole(const TimeAxis& axis, std::size_t i) {
  return i > 0 && axis.blocks.start_s[i] - axis.blocks.end_s[i - 1] > axis.bridge_s;
}

std::vector<Stretch> block_by_block(const TimeAxis& axis, const std::vector<float>& low,
                                    const std::vector<float>& high) {
  std::vector<Stretch> stretches;
  Stretch open;
  for (std::size_t i = 0; i < axis.blocks.size(); ++i) {
    const bool missing = std::isnan(low[i]) || std::isnan(high[i]);
    if (missing || follows_a_hole(axis, i)) end_stretch(stretches, open);
    if (missing) continue;
    const double middle_s = (axis.blocks.start_s[i] + axis.blocks.end_s[i]) / 2.0;
    open.push_back(
        {axis.x.within(middle_s), static_cast<double>(low[i]), static_cast<double>(high[i])});
  }
  end_stretch(stretches, open);
  return stretches;
}

/// A block reaches to the next one, unless there is a hole between them.
double reach_end_s(const TimeAxis& axis, std::size_t i) {
  const bool joined = i + 1 < axis.blocks.size() && !follows_a_hole(axis, i + 1);
  return joined ? axis.blocks.start_s[i + 1] : axis.blocks.end_s[i];
}

std::vector<Stretch> column_by_column(const TimeAxis& axis, const std::vector<float>& low,
                                      const std::vector<float>& high) {
  constexpr double k_none = std::numeric_limits<double>::infinity();
  const double width = (axis.x.to_px - axis.x.from_px) / static_cast<double>(k_most_reaches);
  std::vector<Reach> columns(k_most_reaches, Reach{0.0, k_none, -k_none});
  const auto column_at = [&](double time_s) {
    const double column = (axis.x.within(time_s) - axis.x.from_px) / width;
    return std::min(static_cast<std::size_t>(column), k_most_reaches - 1);
  };
  for (std::size_t i = 0; i < axis.blocks.size(); ++i) {
    if (std::isnan(low[i]) || std::isnan(high[i])) continue;
    const std::size_t last = column_at(reach_end_s(axis, i));
    for (std::size_t c = column_at(axis.blocks.start_s[i]); c <= last; ++c) {
      columns[c].low = std::min(columns[c].low, static_cast<double>(low[i]));
      columns[c].high = std::max(columns[c].high, static_cast<double>(high[i]));
    }
  }
  std::vector<Stretch> stretches;
  Stretch open;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    columns[c].x = axis.x.from_px + (static_cast<double>(c) + 0.5) * width;
    if (columns[c].low > columns[c].high)
      end_stretch(stretches, open);
    else
      open.push_back(columns[c]);
  }
  end_stretch(stretches, open);
  return stretches;
}

/// One moment alone would not be seen.
Stretch widened(const Stretch& stretch) {
  constexpr double k_half_px = 0.8;
  if (stretch.size() > 1) return stretch;
  Stretch two(2, stretch.front());
  two.front().x -= k_half_px;
  two.back().x += k_half_px;
  return two;
}

std::vector<Spot> outline(const Stretch& stretch, const Scale& y) {
  std::vector<Spot> points;
  for (const Reach& reach : stretch) points.push_back({reach.x, y.within(reach.high)});
  for (auto reach = stretch.rbegin(); reach != stretch.rend(); ++reach)
    points.push_back({reach->x, y.within(reach->low)});
  return points;
}

} // namespace

std::vector<Stretch> stretches_of(const TimeAxis& axis, const std::vector<float>& low,
                                  const std::vector<float>& high) {
  if (low.empty() || high.empty()) return {};
  return axis.blocks.size() <= k_most_reaches ? block_by_block(axis, low, high)
                                              : column_by_column(axis, low, high);
}

void draw_line(SvgCanvas& canvas, const std::vector<Stretch>& stretches, const Scale& y,
               const Paint& paint) {
  for (const Stretch& narrow : stretches) {
    const Stretch stretch = widened(narrow);
    const bool thin = std::all_of(stretch.begin(), stretch.end(),
                                  [](const Reach& reach) { return reach.low == reach.high; });
    if (!thin) {
      canvas.path(outline(stretch, y), true,
                  {.fill = paint.stroke, .stroke = paint.stroke, .width = 1.0});
      continue;
    }
    std::vector<Spot> points;
    for (const Reach& reach : stretch) points.push_back({reach.x, y.within(reach.low)});
    canvas.path(points, false, paint);
  }
}

void draw_area(SvgCanvas& canvas, const std::vector<Stretch>& stretches, const Scale& y,
               const Paint& paint) {
  for (const Stretch& stretch : stretches) canvas.path(outline(widened(stretch), y), true, paint);
}

} // namespace coolband
