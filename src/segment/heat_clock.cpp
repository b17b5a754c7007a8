// SPDX-License-Identifier: Apache-2.0
// Time told by the heat that the engine makes, so that idling or a descent does not look like a
// thermostat.
#include "segment/heat_clock.hpp"

#include <cmath>

namespace coolband {

namespace {

/// A column serves when it is known in this share of the blocks; the rest take its mean.
constexpr double k_known = 0.9;

bool known(const std::vector<float>& column, std::size_t first, std::size_t end) {
  std::size_t count = 0;
  for (std::size_t i = first; i < end; ++i) count += std::isnan(column[i]) ? 0U : 1U;
  return static_cast<double>(count) >= k_known * static_cast<double>(end - first);
}

/// Fills what is not known and brings the mean to 1. False, and all 1, when nothing was burnt.
bool to_mean_one(std::vector<double>& heat) {
  double sum = 0.0;
  double count = 0.0;
  for (const double value : heat) {
    if (std::isnan(value)) continue;
    sum += value;
    count += 1.0;
  }
  const bool burnt = sum > 0.0;
  for (double& value : heat) value = burnt && !std::isnan(value) ? value * count / sum : 1.0;
  return burnt;
}

struct Heat {
  std::vector<double> of_block;
  bool known = false;
};

Heat heat_of(const Blocks& blocks, std::size_t first, std::size_t end) {
  Heat heat{std::vector<double>(end - first, 1.0), false};
  for (const auto* column : {&blocks.load, &blocks.rpm}) {
    if (!known(*column, first, end)) continue;
    for (std::size_t i = first; i < end; ++i)
      heat.of_block[i - first] *= static_cast<double>((*column)[i]);
    heat.known = true;
  }
  heat.known = to_mean_one(heat.of_block) && heat.known;
  return heat;
}

} // namespace

HeatSeries heat_series(const Blocks& blocks, std::size_t first, std::size_t end) {
  HeatSeries series;
  if (end <= first) return series;
  const auto [heat, heat_known] = heat_of(blocks, first, end);
  series.heat_known = heat_known;
  double clock_min = 0.0;
  for (std::size_t i = first; i < end; ++i) {
    const double middle_s = 0.5 * (blocks.start_s[i] + blocks.end_s[i]);
    const double before_s =
        i == first ? middle_s : 0.5 * (blocks.start_s[i - 1] + blocks.end_s[i - 1]);
    const double fed = i == first ? 0.0 : 0.5 * (heat[i - first] + heat[i - first - 1]);
    clock_min += fed * (middle_s - before_s) / 60.0;
    if (std::isnan(blocks.coolant[i])) continue;
    series.time_s.push_back(middle_s);
    series.coolant_c.push_back(static_cast<double>(blocks.coolant[i]));
    series.speed.push_back(static_cast<double>(blocks.speed[i]));
    series.clock_min.push_back(clock_min);
  }
  return series;
}

} // namespace coolband
