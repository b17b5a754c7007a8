// SPDX-License-Identifier: Apache-2.0
// Measures trips in one pass over their rows.
#pragma once

#include "condition/row_window.hpp"
#include "coolband/segment/trip.hpp"
#include "segment/blocks.hpp"
#include "segment/refresh.hpp"
#include "segment/sanity.hpp"
#include "segment/trip_borders.hpp"

#include <array>
#include <vector>

namespace coolband {

/// To be asked for the trips of one recording in row order. The recording, what conditioning made
/// of it and the options must outlive the meter.
class TripMeter {
 public:
  TripMeter(const Recording& recording, const Conditioned& conditioned,
            const SegmentOptions& options);

  /// Everything but the phases and what rests on them.
  Trip measure(const TripBorder& border, std::size_t last_row);

 private:
  struct OddCount {
    std::size_t rows = 0;
    std::size_t first_row = 0;
    double value = 0.0;
  };
  using OddCounts = std::array<OddCount, k_oddity_count>;

  void begin(const Trip& trip);
  void add_row(Trip& trip, std::size_t row, BlockGatherer& blocks);
  void add_coolant(Trip& trip, std::size_t row, double since_start_s, BlockGatherer& blocks);
  void add_step(Trip& trip, std::size_t row, double time_s);
  void add_first(std::size_t row);
  void count_odd(Role role, Oddity oddity, std::size_t row);
  void watch_refresh(std::size_t row);
  void finish(Trip& trip);
  void take_events(Trip& trip);

  const Recording& recording_;
  const Conditioned& conditioned_;
  const SegmentOptions& options_;
  std::string coolant_unit_;
  std::vector<Role> measured_;        ///< columns that came from the log, not from the user
  std::vector<Role> doubtful_;        ///< columns in which something was not believed
  std::vector<std::size_t> channels_; ///< those of k_block_channels that the log has
  RowWindow window_;
  std::size_t next_event_ = 0;

  // Of the trip that is being measured.
  std::array<OddCounts, k_role_count> odd_{};
  std::vector<RefreshWatch> refresh_; ///< by measured_
  FirstReadings first_;
  float last_speed_ = 0.0F; ///< NaN until one was known
  double last_s_ = 0.0;
};

} // namespace coolband
