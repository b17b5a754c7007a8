// SPDX-License-Identifier: Apache-2.0
// What is kept of a vehicle and of each of its trips in short: all that ranking, summary and
// overview need. Records of several runs or machines can be put together in any order.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "fleet/siblings.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// One judged trip.
struct TripRecord {
  std::string start;             ///< as the report has it; empty without a clock
  std::optional<double> start_s; ///< the same in s since 1970, where the log tells the day
  double duration_s = 0.0;
  std::optional<double> distance_km;
  Condition condition = Condition::undetermined;
  double confidence = 0.0;
  Action action = Action::none;
  std::string headline;
  std::size_t episodes = 0;
  std::size_t unexplained = 0; ///< episodes that nothing explains
  std::optional<double> median_c;
  std::optional<double> hottest_c;
  std::optional<double> boiling_margin_c;
  std::optional<double> share_in_band;
  std::string measures; ///< what trends need of the trip, as JSON; may be empty

  /// Needs no second look: what the trip showed is normal or explained.
  [[nodiscard]] bool plain() const {
    return condition == Condition::normal && unexplained == 0 && action == Action::none;
  }
};

/// Why a log, a trip of it or a vehicle's file could not be used.
struct Problem {
  std::string path;
  std::size_t line = 0;
  std::size_t column = 0;
  std::string message;
  std::string remedy;

  bool operator==(const Problem&) const = default;
};
Problem problem_of(const Error& error, const std::string& path);
/// "PATH:LINE:COLUMN: message (remedy)", in one line.
std::string words_of(const Problem& problem);

/// By what a file is known again without reading it.
struct FileStamp {
  std::uint64_t size = 0;
  std::int64_t changed_ns = 0; ///< time of the last change
  std::uint64_t inode = 0;

  bool operator==(const FileStamp&) const = default;
};

struct LogRecord {
  std::string path;
  FileStamp stamp;
  /// The content was read so shortly after its last change that another change might not show in
  /// the stamp.
  bool fresh = false;
  std::string hash; ///< of the content; empty where it could not be read
  std::size_t rows_set_aside = 0;
  std::vector<TripRecord> trips;
  std::vector<Problem> problems;
};

enum class BandSource : std::uint8_t {
  none,  ///< judged by the profile, or each trip by itself
  given, ///< found; never changed
  own,   ///< learned by a fleet's run from the vehicle's own trips
};
std::string_view name_of(BandSource source);
std::optional<BandSource> band_source_named(std::string_view name);

struct BandRecord {
  BandSource source = BandSource::none;
  std::string path; ///< empty where it is kept in no file
  std::size_t drives = 0;
  std::optional<double> centre_c;
  std::optional<double> lower_c;
  std::optional<double> upper_c;
  bool circuit = false;
  std::string why_none; ///< why no band was learned
};

/// How a vehicle stands, by its latest trips.
struct VehicleState {
  Action action = Action::none;
  Condition condition = Condition::undetermined;
  double confidence = 0.0;
  std::optional<double> boiling_margin_c; ///< least of the latest trips
  std::string headline;                   ///< of the trip that decides; empty: no trip was judged
  std::string log;                        ///< of that trip
  std::string start;
  std::size_t trips = 0;    ///< judged, in all
  std::size_t latest = 0;   ///< of them the latest, which count for the state
  std::size_t as_grave = 0; ///< of the latest, those with the same action

  bool operator==(const VehicleState&) const = default;
};

/// How a vehicle's trips lie over time and beside those of its like: what a fleet as a whole needs
/// of it to tell which of its vehicles to believe.
struct VehicleCourse {
  std::string group;                 ///< `sibling_group`; may be empty
  std::vector<std::string> services; ///< dates
  std::optional<double> trend_p;     ///< `VehicleTrend::p`; none without any chart
  std::array<std::optional<double>, k_likenesses> levels; ///< `SiblingLevels::levels`
};

struct VehicleRecord {
  std::string id;
  std::string label;
  std::string key;     ///< by what the trips were judged: version, options, band, profile
  std::string files;   ///< fingerprint of the files of band and profile, as the run left them
  std::size_t run = 0; ///< of the store, in which the record last changed
  std::optional<VehicleState> before; ///< as it stood after the run before that; none: it is new
  BandRecord band;
  std::string profile;           ///< path
  std::vector<LogRecord> logs;   ///< by path
  std::vector<Problem> problems; ///< of the vehicle's own files and folders
  std::size_t passed_over = 0;   ///< files whose names are no log's
  VehicleState state;
  VehicleCourse course;

  [[nodiscard]] std::size_t trip_count() const;
  [[nodiscard]] std::size_t problem_count() const;
};

/// Of its own files, then of its logs.
std::vector<Problem> problems_of(const VehicleRecord& vehicle);

/// A trip and its log.
struct TripOfLog {
  const LogRecord* log = nullptr;
  const TripRecord* trip = nullptr;
  std::size_t number = 0; ///< in its log, from 1
};
/// By time where every trip has one, else by log; the latest last.
std::vector<TripOfLog> trips_in_time(const VehicleRecord& vehicle);

/// The gravest of the `recent` latest trips (most certain, hottest, latest first among equals).
VehicleState state_of(const VehicleRecord& vehicle, std::size_t recent);

/// One line, ordered keys. `parse_record` reads it again; an error means that it is damaged or of
/// another version.
std::string record_json(const VehicleRecord& vehicle);
Result<VehicleRecord> parse_record(std::string_view text);

/// An id is the bytes of a folder's name, JSON holds characters: what comes back where it is read.
std::string id_as_written(const std::string& id);

} // namespace coolband
