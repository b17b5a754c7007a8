// SPDX-License-Identifier: Apache-2.0
// Measures trips in one pass over their rows, a chunk at a time and column by column.
#pragma once

#include "condition/row_window.hpp"
#include "coolband/segment/trip.hpp"
#include "segment/blocks.hpp"
#include "segment/lone_gaps.hpp"
#include "segment/refresh.hpp"
#include "segment/sanity.hpp"
#include "segment/trip_borders.hpp"

#include <array>
#include <span>
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
  /// Rows of one chunk, `from` to before `to`.
  void add_rows(Trip& trip, std::size_t from, std::size_t to, BlockGatherer& blocks);
  void add_clock(Trip& trip, std::size_t from, std::size_t to);
  void add_distance(Trip& trip, std::size_t from, std::size_t to);
  void add_coolant(Trip& trip, std::size_t from, std::size_t to);
  void watch_gaps(std::size_t from, std::size_t to);
  void add_channel(std::size_t channel, std::size_t from, std::size_t to, BlockGatherer& blocks);
  void add_first(std::size_t from, std::size_t to);
  void count_odd(Role role, std::size_t from, std::size_t to);
  void count_odd(Role role, Oddity oddity, std::size_t row);
  void watch_refresh(const Trip& trip, std::size_t from, std::size_t to);
  void finish(Trip& trip);
  void take_events(Trip& trip);

  const Recording& recording_;
  const Conditioned& conditioned_;
  const SegmentOptions& options_;
  std::string coolant_unit_;
  std::vector<Role> measured_;        ///< columns that came from the log, not from the user
  std::optional<Role> beside_;        ///< a column of the log that is asked for as often as coolant
  std::vector<Role> doubtful_;        ///< columns in which something was not believed
  std::vector<std::size_t> channels_; ///< those of k_block_channels that the log has
  RowWindow window_;
  std::size_t next_event_ = 0;

  // Of the trip that is being measured.
  std::array<OddCounts, k_role_count> odd_{};
  std::vector<RefreshWatch> refresh_; ///< by measured_
  LoneGaps gaps_;
  FirstReadings first_;
  std::vector<float> good_; ///< believed coolant readings of the first rows, °C
  float last_speed_ = 0.0F; ///< NaN until one was known
  double last_s_ = 0.0;     ///< of the row before
  // Of the rows that are being added: one a row.
  std::vector<double> since_start_s_;
  std::vector<double> steps_s_;  ///< from the row before
  std::vector<float> coolant_c_; ///< NaN where it is not believed
  std::vector<float> believed_;  ///< of a channel, likewise
};

} // namespace coolband
