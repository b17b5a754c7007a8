// SPDX-License-Identifier: Apache-2.0
// Blocks make the series short, even out polled channels and take the edge off 1 °C steps.
#include "segment/blocks.hpp"

#include <cmath>

namespace coolband {

namespace {

/// Mean of one column over the rows of the current block.
struct Mean {
  double sum = 0.0;
  std::size_t count = 0;

  void add(float value) {
    sum += static_cast<double>(value);
    ++count;
  }
  float take() {
    const float mean =
        count > 0 ? static_cast<float>(sum / static_cast<double>(count)) : std::nanf("");
    *this = {};
    return mean;
  }
};

struct Channel {
  Role role;
  std::vector<float> Blocks::*column;
};

constexpr Channel k_channels[] = {{Role::ambient, &Blocks::ambient},
                                  {Role::load, &Blocks::load},
                                  {Role::speed, &Blocks::speed},
                                  {Role::rpm, &Blocks::rpm},
                                  {Role::altitude, &Blocks::altitude}};
constexpr std::size_t k_channel_count = std::size(k_channels);

class Gatherer {
 public:
  Gatherer(const Recording& recording, const Conditioned& conditioned)
      : recording_(recording), conditioned_(conditioned) {}

  void add(std::size_t row, double time_s) {
    if (empty_) {
      first_row_ = row;
      start_s_ = time_s;
      empty_ = false;
    }
    last_row_ = row;
    end_s_ = time_s;
    if (conditioned_.coolant[row] == Quality::good)
      coolant_.add(recording_.column(Role::coolant)[row]);
    for (std::size_t c = 0; c < k_channel_count; ++c) {
      const auto& column = recording_.column(k_channels[c].role);
      if (!column.empty() && plausible(k_channels[c].role, column[row]))
        channels_[c].add(column[row]);
    }
  }

  void close() {
    if (empty_) return;
    blocks_.start_s.push_back(start_s_);
    blocks_.end_s.push_back(end_s_);
    blocks_.coolant.push_back(coolant_.take());
    for (std::size_t c = 0; c < k_channel_count; ++c) {
      (blocks_.*k_channels[c].column).push_back(channels_[c].take());
    }
    blocks_.first_row.push_back(first_row_);
    blocks_.last_row.push_back(last_row_);
    blocks_.phase.push_back(Phase::warm);
    empty_ = true;
  }

  [[nodiscard]] bool empty() const { return empty_; }
  [[nodiscard]] double start_s() const { return start_s_; }
  [[nodiscard]] double end_s() const { return end_s_; }
  Blocks take() { return std::move(blocks_); }

 private:
  const Recording& recording_;
  const Conditioned& conditioned_;
  Blocks blocks_;
  Mean coolant_;
  Mean channels_[k_channel_count];
  std::size_t first_row_ = 0;
  std::size_t last_row_ = 0;
  double start_s_ = 0.0;
  double end_s_ = 0.0;
  bool empty_ = true;
};

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

void add_lagged_load(Blocks& blocks, double lag_s) {
  blocks.load_lagged.resize(blocks.size(), std::nanf(""));
  double lagged = std::nan("");
  double before_s = 0.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const auto load = static_cast<double>(blocks.load[i]);
    if (!std::isnan(load)) {
      const double step_s = blocks.end_s[i] - before_s;
      lagged =
          std::isnan(lagged) ? load : lagged + (load - lagged) * (1.0 - std::exp(-step_s / lag_s));
      before_s = blocks.end_s[i];
    }
    blocks.load_lagged[i] = static_cast<float>(lagged);
  }
}

} // namespace

Blocks gather_blocks(const Recording& recording, const Conditioned& conditioned, const Trip& trip,
                     const SegmentOptions& options) {
  // Half a sample of slack keeps the block count even when the logger's clock jitters.
  const double full_s = options.block_s - 0.5 * trip.sample_period_s;
  const double gap_s = std::max(3.0 * options.block_s, 3.0 * trip.sample_period_s);
  Gatherer gatherer(recording, conditioned);
  for (std::size_t row = trip.first_row; row <= trip.last_row; ++row) {
    const double time_s = recording.time_s[row] - trip.start_s;
    const bool full = !gatherer.empty() && time_s - gatherer.start_s() >= full_s;
    const bool gap = !gatherer.empty() && time_s - gatherer.end_s() > gap_s;
    if (full || gap) gatherer.close();
    gatherer.add(row, time_s);
  }
  gatherer.close();
  Blocks blocks = gatherer.take();
  hold(blocks.ambient, blocks, 900.0);
  hold(blocks.altitude, blocks, 60.0);
  hold(blocks.load, blocks, 60.0);
  hold(blocks.speed, blocks, 60.0);
  hold(blocks.rpm, blocks, 60.0);
  add_lagged_load(blocks, options.load_lag_s);
  return blocks;
}

} // namespace coolband
