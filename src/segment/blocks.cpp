// SPDX-License-Identifier: Apache-2.0
// Blocks make the series short, even out polled channels and take the edge off 1 °C steps.
#include "segment/blocks.hpp"

#include "numeric/first_order_lag.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace coolband {

namespace {

/// Times less apart are one, s.
constexpr double k_shortest_step_s = 1e-3;

/// Under way the wind keeps engine heat from the sensor of outside air, km/h; it takes so long to
/// blow it away, s; less than this is the air's own, K. (common practice, no source)
constexpr float k_under_way_kmh = 20.0F;
constexpr double k_blown_away_s = 300.0;
constexpr float k_own_k = 1.0F;

/// A vehicle that stands or crawls warms its sensor of outside air: the air is what it was under
/// way.
void hold_air_at_standstill(Blocks& blocks) {
  float air_c = std::nanf("");
  double slow_until_s = -k_blown_away_s;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    float& reading_c = blocks.ambient[i];
    if (std::isnan(blocks.speed[i])) continue;
    if (blocks.speed[i] < k_under_way_kmh) slow_until_s = blocks.end_s[i];
    const bool soaks = blocks.start_s[i] - slow_until_s < k_blown_away_s;
    if (soaks && reading_c > air_c + k_own_k) {
      reading_c = air_c;
    } else {
      if (soaks && blocks.speed[i] >= k_under_way_kmh) slow_until_s = -k_blown_away_s;
      if (blocks.speed[i] >= k_under_way_kmh && !std::isnan(reading_c)) air_c = reading_c;
    }
  }
}

/// Slow columns that come a few times a minute hold until the next value, within `hold_s`.
void hold(std::vector<float>& column, const Blocks& blocks, double hold_s) {
  std::size_t last = 0;
  bool known = false;
  for (std::size_t i = 0; i < column.size(); ++i) {
    if (!std::isnan(column[i])) {
      last = i;
      known = true;
    } else if (known && blocks.start_s[i] - blocks.end_s[last] <= hold_s) {
      column[i] = column[last];
    }
  }
}

} // namespace

void add_lagged_load(Blocks& blocks, double lag_s) {
  blocks.load_lagged.resize(blocks.size(), std::nanf(""));
  FirstOrderLag lag(lag_s);
  for (std::size_t i = 0; i < blocks.size(); ++i)
    blocks.load_lagged[i] =
        static_cast<float>(lag.next(static_cast<double>(blocks.load[i]), blocks.end_s[i]));
}

void BlockGatherer::Mean::add(std::span<const float> values) {
  for (const float value : values) {
    const bool known = !std::isnan(value);
    sum += known ? static_cast<double>(value) : 0.0;
    count += known ? 1U : 0U;
  }
}

float BlockGatherer::Mean::take() {
  const float mean =
      count > 0 ? static_cast<float>(sum / static_cast<double>(count)) : std::nanf("");
  *this = {};
  return mean;
}

// Half a sample of slack keeps the block count even when the logger's clock jitters. Rows of one
// time stay together, however long the clock takes to its next one: each would count as that long.
BlockGatherer::BlockGatherer(const SegmentOptions& options, const Trip& trip)
    : full_s_(std::max(options.block_s - 0.5 * trip.sample_period_s, k_shortest_step_s)),
      gap_s_(std::max(3.0 * options.block_s, 3.0 * trip.sample_period_s)),
      load_lag_s_(options.load_lag_s) {
  const auto rows = static_cast<double>(trip.last_row - trip.first_row + 1);
  const double most = std::min(rows, trip.duration_s / full_s_ + 1.0);
  if (most >= 1.0) reserve(static_cast<std::size_t>(most));
}

void BlockGatherer::reserve(std::size_t blocks) {
  for (auto* column : {&blocks_.start_s, &blocks_.end_s}) column->reserve(blocks);
  for (auto* rows : {&blocks_.first_row, &blocks_.last_row}) rows->reserve(blocks);
  for (const BlockChannel& channel : k_block_channels) (blocks_.*channel.column).reserve(blocks);
  blocks_.coolant.reserve(blocks);
  blocks_.load_lagged.reserve(blocks);
  blocks_.phase.reserve(blocks);
}

void BlockGatherer::begin_block(std::size_t row, double time_s) {
  blocks_.start_s.push_back(time_s);
  blocks_.end_s.push_back(time_s);
  blocks_.first_row.push_back(row);
  blocks_.last_row.push_back(row);
  blocks_.phase.push_back(Phase::warm);
}

void BlockGatherer::add_rows(std::size_t first_row, std::span<const double> since_start_s) {
  cuts_.clear();
  for (std::size_t i = 0; i < since_start_s.size(); ++i) {
    const double time_s = since_start_s[i];
    const bool open = !blocks_.start_s.empty();
    if (!open || time_s - blocks_.start_s.back() >= full_s_ ||
        time_s - blocks_.end_s.back() > gap_s_) {
      if (open) cuts_.push_back(i);
      begin_block(first_row + i, time_s);
    }
    blocks_.last_row.back() = first_row + i;
    blocks_.end_s.back() = time_s;
  }
}

void BlockGatherer::add(Mean& mean, std::vector<float>& column, std::span<const float> values) {
  std::size_t from = 0;
  for (const std::size_t cut : cuts_) {
    mean.add(values.subspan(from, cut - from));
    column.push_back(mean.take());
    from = cut;
  }
  mean.add(values.subspan(from));
}

/// The last block's mean; a column that was never added is not known in any block.
void BlockGatherer::close(Mean& mean, std::vector<float>& column) const {
  if (blocks_.size() == 0) return;
  column.resize(blocks_.size() - 1, std::nanf(""));
  column.push_back(mean.take());
}

Blocks BlockGatherer::finish() {
  close(coolant_, blocks_.coolant);
  for (std::size_t c = 0; c < k_block_channels.size(); ++c)
    close(channels_[c], blocks_.*k_block_channels[c].column);
  hold(blocks_.ambient, blocks_, 900.0);
  hold(blocks_.altitude, blocks_, 60.0);
  hold(blocks_.load, blocks_, 60.0);
  hold(blocks_.speed, blocks_, 60.0);
  hold(blocks_.rpm, blocks_, 60.0);
  hold_air_at_standstill(blocks_);
  add_lagged_load(blocks_, load_lag_s_);
  return std::move(blocks_);
}

} // namespace coolband
