// SPDX-License-Identifier: Apache-2.0
// Rows of one trip gathered into blocks.
#pragma once

#include "coolband/segment/trip.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <vector>

namespace coolband {

/// A longer hole or stand breaks a stretch of running, s (or two samples, if they lie further
/// apart).
inline double longest_hole_s(const Trip& trip) {
  return std::max(45.0, 2.0 * trip.sample_period_s);
}

/// Slower than this the engine stands, 1/min.
inline constexpr float k_standing_rpm = 100.0F;

struct BlockChannel {
  Role role;
  std::vector<float> Blocks::*column;
};
/// What is averaged beside the coolant.
inline constexpr std::array<BlockChannel, 5> k_block_channels{
    {{Role::ambient, &Blocks::ambient},
     {Role::load, &Blocks::load},
     {Role::speed, &Blocks::speed},
     {Role::rpm, &Blocks::rpm},
     {Role::altitude, &Blocks::altitude}}};

/// Fills `load_lagged`: the load behind a first-order lag, s.
void add_lagged_load(Blocks& blocks, double lag_s);

/// Takes the rows of a trip in order, some at a time and column by column; phases are left at
/// Phase::warm.
class BlockGatherer {
 public:
  BlockGatherer(const SegmentOptions& options, const Trip& trip);

  /// The next rows, from `first_row` on; times count from the trip's first row, s. Their coolant
  /// and every channel that the log has follow, each with one value a row; NaN is not known.
  void add_rows(std::size_t first_row, std::span<const double> since_start_s);
  void add_coolant(std::span<const float> values) { add(coolant_, blocks_.coolant, values); }
  /// `channel` is an index into `k_block_channels`.
  void add_channel(std::size_t channel, std::span<const float> values) {
    add(channels_[channel], blocks_.*k_block_channels[channel].column, values);
  }

  Blocks finish();

 private:
  struct Mean {
    double sum = 0.0;
    std::size_t count = 0;

    void add(std::span<const float> values);
    float take();
  };

  void reserve(std::size_t blocks);
  void begin_block(std::size_t row, double time_s);
  void add(Mean& mean, std::vector<float>& column, std::span<const float> values);
  void close(Mean& mean, std::vector<float>& column) const;

  double full_s_;
  double gap_s_;
  double load_lag_s_;
  Blocks blocks_; ///< the last one is still open
  /// Of the rows that were added last, those that begin a block while another is open.
  std::vector<std::size_t> cuts_;
  Mean coolant_;
  std::array<Mean, k_block_channels.size()> channels_;
};

} // namespace coolband
