// SPDX-License-Identifier: Apache-2.0
// A log judged while it is written. The rows of the trip under way are kept as text and judged by
// the same pages as a finished log, so what is said at the end is what `analyse` says of it.
#pragma once

#include "coolband/analyse.hpp"
#include "coolband/core/error.hpp"
#include "coolband/import/import_log.hpp"
#include "diagnose/trip_under_way.hpp"
#include "import/live_text.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

struct WatchSetup {
  std::string source; ///< for messages
  ImportOptions import;
  std::optional<NormalBand> band;
  std::optional<VehicleProfile> profile;
  /// Of text that is kept. Beyond, the oldest rows of the trip go, and that is said.
  std::size_t most_bytes = std::size_t{16} * 1024 * 1024;
};

enum class WatchMoment {
  begin,    ///< the log can be read
  change,   ///< something else stands from now on
  trip_end, ///< the trip is over, or the log: the verdict
};

/// What there is to tell. The references hold during the call only.
struct WatchEvent {
  WatchMoment moment = WatchMoment::begin;
  const Recording& recording; ///< the rows that are kept
  const TripFinding& finding; ///< the trip as far as it is logged
  const std::optional<VehicleProfile>& profile;
  Standing standing;              ///< at the end of a trip its verdict
  Standing before;                ///< what stood until now
  std::optional<Heat> heat;       ///< where the last readings alone raised the alarm
  std::size_t trip = 1;           ///< trips of the log, counted from 1
  std::size_t rows_before = 0;    ///< rows of the log before those of `recording`
  std::size_t rows_forgotten = 0; ///< of this trip, which were too many to be kept

  /// The row up to which the event knows.
  [[nodiscard]] std::size_t last_row() const {
    return moment == WatchMoment::trip_end ? finding.trip.last_row : recording.size() - 1;
  }
};

struct WatchSink {
  std::function<void(const WatchEvent&)> event;
  std::function<void(const std::string&)> notice; ///< a remark for a person
};

/// Bytes in, events out; neither reads a clock nor depends on how the bytes are cut into pieces.
/// Memory depends on `most_bytes` alone.
class Watch {
 public:
  Watch(WatchSetup setup, WatchSink sink);

  /// Takes what has arrived. An error (kind input or usage) ends the watch: this is no log, or not
  /// one that can be read line by line.
  std::optional<Error> take(std::string_view bytes);
  /// Nothing has come for a while: looks at the last readings now.
  void pause();
  /// The source began anew (a file was replaced or emptied): a line that is not whole is let go.
  void begin_anew();
  /// No more comes. Error: nothing of it could be read.
  std::optional<Error> end();

 private:
  std::optional<Error> take_line();
  std::optional<Error> refuse_unfit() const;
  std::optional<Error> try_to_read();
  bool look();
  void look_at(const Recording& recording);
  std::size_t end_trips(const Recording& recording, const std::vector<Trip>& trips,
                        std::size_t ended);
  void judge_now(const Recording& recording, const Trip& trip);
  void tell(const Recording& recording, const TripFinding& finding, WatchMoment moment);
  void tell_news(const Recording& recording, const TripFinding& finding);
  void glance();
  [[nodiscard]] std::optional<Recording> recent() const;
  void sound_alarm(const Heat& heat);
  void set_pace(const Recording& recording);
  void let_go(const Recording& recording, const std::vector<Trip>& trips, std::size_t ended);
  void settle_headings(std::size_t least_lines);
  void begin_other_log(std::size_t line);
  void drop_before(RowMap::Place place);
  void forget(const Recording& recording, const Trip& trip);
  void cannot_read(const Error& error);

  WatchSetup setup_;
  WatchSink sink_;
  GivenBand given_;
  LiveText text_;
  bool reads_ = false;        ///< the log was understood
  bool told_torn_ = false;    ///< since a line last ended
  bool told_unread_ = false;  ///< since it was last read
  std::size_t next_try_ = 2;  ///< lines of text at which to try to understand it
  std::size_t unlooked_ = 0;  ///< lines since the whole was looked at
  std::size_t unglanced_ = 0; ///< lines since the last readings were looked at
  double look_every_s_ = 30.0;
  double lines_per_s_ = 1.0;
  double lines_seen_s_ = 0.0; ///< time by lines, for the glances
  std::size_t rows_before_ = 0;
  std::optional<std::size_t> headings_at_; ///< a line that may begin another log
  std::size_t ended_in_text_ = 0;          ///< leading trips of the text that were told already
  std::size_t last_line_ = 0;              ///< of the last look, and what it read there
  float last_coolant_c_ = 0.0F;
  // The trip under way
  TripUnderWay trip_;
  std::size_t trip_number_ = 1;
  bool begun_ = false;
  std::size_t forgotten_ = 0;
};

} // namespace coolband
