// SPDX-License-Identifier: Apache-2.0
// Rows of one trip gathered into blocks.
#pragma once

#include "coolband/segment/trip.hpp"

#include <algorithm>
#include <array>

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

/// Takes the rows of a trip in order; phases are left at Phase::warm.
class BlockGatherer {
 public:
  BlockGatherer(const SegmentOptions& options, const Trip& trip);

  /// Begins a row; `time_s` counts from the trip's first row. Its values follow.
  void add_row(std::size_t row, double time_s) {
    if (!empty_ && (time_s - start_s_ >= full_s_ || time_s - end_s_ > gap_s_)) close();
    if (empty_) {
      first_row_ = row;
      start_s_ = time_s;
      empty_ = false;
    }
    last_row_ = row;
    end_s_ = time_s;
  }
  void add_coolant(float value) { coolant_.add(value); }
  void add_channel(std::size_t channel, float value) { channels_[channel].add(value); }

  Blocks finish();

 private:
  struct Mean {
    double sum = 0.0;
    std::size_t count = 0;

    void add(float value) {
      sum += static_cast<double>(value);
      ++count;
    }
    float take();
  };

  void reserve(std::size_t blocks);
  void close();

  double full_s_;
  double gap_s_;
  double load_lag_s_;
  Blocks blocks_;
  Mean coolant_;
  std::array<Mean, k_block_channels.size()> channels_;
  std::size_t first_row_ = 0;
  std::size_t last_row_ = 0;
  double start_s_ = 0.0;
  double end_s_ = 0.0;
  bool empty_ = true;
};

} // namespace coolband
