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

} // namespace

namespace {

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

void BlockGatherer::close() {
  if (empty_) return;
  blocks_.start_s.push_back(start_s_);
  blocks_.end_s.push_back(end_s_);
  blocks_.coolant.push_back(coolant_.take());
  for (std::size_t c = 0; c < k_block_channels.size(); ++c) {
    (blocks_.*k_block_channels[c].column).push_back(channels_[c].take());
  }
  blocks_.first_row.push_back(first_row_);
  blocks_.last_row.push_back(last_row_);
  blocks_.phase.push_back(Phase::warm);
  empty_ = true;
}

Blocks BlockGatherer::finish() {
  close();
  hold(blocks_.ambient, blocks_, 900.0);
  hold(blocks_.altitude, blocks_, 60.0);
  hold(blocks_.load, blocks_, 60.0);
  hold(blocks_.speed, blocks_, 60.0);
  hold(blocks_.rpm, blocks_, 60.0);
  add_lagged_load(blocks_, load_lag_s_);
  return std::move(blocks_);
}

} // namespace coolband
