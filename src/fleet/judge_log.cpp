// SPDX-License-Identifier: Apache-2.0
// One log of a fleet.
#include "fleet/judge_log.hpp"

#include "coolband/report/report.hpp"
#include "fleet/content_hash.hpp"
#include "fleet/small_file.hpp"
#include "fleet/trend_json.hpp"

#include <algorithm>
#include <cmath>
#include <new>

#include <fmt/core.h>

namespace coolband {

namespace {

/// As the report has it.
double rounded(double value) { return std::round(value * 1000.0) / 1000.0; }
std::optional<double> rounded(const std::optional<double>& value) {
  return value && std::isfinite(*value) ? std::optional(rounded(*value)) : std::nullopt;
}

std::optional<double> instant_s(const Recording& recording, const Trip& trip) {
  const bool dated =
      recording.clock.kind == ClockKind::date_time || recording.clock.kind == ClockKind::absolute;
  return dated ? std::optional(rounded(recording.clock.start_s + trip.start_s)) : std::nullopt;
}

bool was_read_with_warning(const Recording& recording) {
  const auto& notes = recording.how.notes;
  return std::any_of(notes.begin(), notes.end(),
                     [](const std::string& note) { return note.starts_with("WARNING: "); });
}

TripRecord record_of(const Recording& recording, const TripFinding& finding) {
  const Judgement& judgement = finding.judgement;
  TripRecord record;
  record.start = format_instant(recording.clock, finding.trip.start_s);
  record.start_s = instant_s(recording, finding.trip);
  record.duration_s = rounded(finding.trip.duration_s);
  record.distance_km = rounded(finding.trip.distance_km);
  record.condition = judgement.condition;
  record.confidence = rounded(judgement.confidence);
  record.action = judgement.action;
  record.headline = judgement.headline;
  if (was_read_with_warning(recording)) record.headline += " (the log was read with a warning)";
  record.episodes = judgement.episodes.size();
  for (const Episode& episode : judgement.episodes)
    record.unexplained += episode.explained_by == Explanation::none ? 1U : 0U;
  record.median_c = rounded(judgement.median_c);
  record.hottest_c = rounded(judgement.hottest_c);
  record.boiling_margin_c = rounded(judgement.boiling.margin_c);
  record.share_in_band = rounded(judgement.share_in_band);
  return record;
}

std::string sensor_of(const Recording& recording) {
  const auto& columns = recording.how.columns;
  const auto found = std::find_if(columns.begin(), columns.end(), [](const ColumnReading& column) {
    return column.role == Role::coolant;
  });
  return found == columns.end() ? std::string() : found->heading;
}

/// Trips without a date are told apart by their place in the log.
std::string source_of(const LogRecord& log) {
  const std::size_t number = log.trips.size() + 1;
  return number == 1 ? log.path : fmt::format("{} trip {}", log.path, number);
}

/// One log at a time.
class LogJudge {
 public:
  LogJudge(const FleetSettings& settings, const Judged& by, LogWork& work, Spool& reports)
      : settings_(settings), by_(by), work_(work), reports_(reports) {}

  std::optional<Error> judge(const HeldLog& log, const std::string* vehicle) {
    std::vector<Trip> trips = log.trips;
    settle_trips(trips, by_.given);
    for (Trip& trip : trips) {
      if (vehicle != nullptr && trip.vehicle_id != *vehicle) continue;
      if (auto error = judge_one(log.recording, std::move(trip))) return error;
    }
    return std::nullopt;
  }

 private:
  /// Whatever goes wrong in one trip is that trip's own failure.
  std::optional<Error> judge_one(const Recording& recording, Trip trip) {
    const std::string start = format_instant(recording.clock, trip.start_s);
    try {
      return put_away(recording, std::move(trip));
    } catch (const std::bad_alloc&) {
      fail(start, "out of memory");
    } catch (const std::exception& error) {
      fail(start, std::string("internal error: ") + error.what());
    }
    return std::nullopt;
  }

  void fail(const std::string& start, const std::string& why) {
    work_.record.hash.clear(); // so that the next run tries again
    work_.record.fresh = true;
    work_.record.problems.push_back({work_.record.path, 0, 0,
                                     fmt::format("the trip{}{} could not be judged: {}",
                                                 start.empty() ? "" : " of ", start, why),
                                     "check this log by itself"});
  }

  std::optional<Error> put_away(const Recording& recording, Trip trip) {
    TripFinding finding = judge_trip(recording, std::move(trip), by_.given, by_.profile);
    // The report of a vehicle without band and profile would otherwise not say whose it is.
    finding.trip.vehicle_id = by_.vehicle;
    const TripReport report = make_report(recording, finding, by_.profile);
    const std::string line = render_json(report, -1) + "\n";
    TripRecord record = record_of(recording, finding);
    record.measures = trip_measures_text(measure_trip(
        finding, {source_of(work_.record), record.start, sensor_of(recording), whole_band()}));
    if (wants_page(settings_, record)) {
      if (auto error = write_page(report)) return error;
    }
    if (auto error = reports_.add(line)) return error;
    work_.record.trips.push_back(std::move(record));
    return std::nullopt;
  }

  std::optional<Error> write_page(const TripReport& report) const {
    const std::string path =
        settings_.pages + "/" +
        page_path(by_.vehicle, work_.record.path, work_.record.trips.size() + 1);
    if (auto error = make_folders(path.substr(0, path.find_last_of('/')))) return error;
    const auto written =
        write_whole(path, render_html({page_of(report, 1)}, {}, whole_band()), IfThere::replace);
    return written ? std::nullopt : std::optional(written.error());
  }

  [[nodiscard]] const NormalBand* whole_band() const {
    const auto& whole = by_.given.whole();
    return whole ? &*whole : nullptr;
  }

  const FleetSettings& settings_;
  const Judged& by_;
  LogWork& work_;
  Spool& reports_;
};

} // namespace

std::string page_path(const std::string& vehicle, const std::string& log, std::size_t trip) {
  const std::string name = log.substr(log.find_last_of('/') + 1);
  // Logs of one name in several folders are told apart by the rest of the path.
  return fmt::format("{}/{}~{}-{}.html", file_name_of(vehicle), file_name_of(name).substr(0, 150),
                     hex_of(hash_of(log)).substr(0, 8), trip);
}

bool wants_page(const FleetSettings& settings, const TripRecord& trip) {
  return !settings.pages.empty() && (settings.pages_for_all || trip.action != Action::none ||
                                     trip.condition != Condition::normal);
}

std::optional<Error> judge_log(LogShelf& shelf, const FleetSettings& settings, const Judged& by,
                               LogWork& work, Spool& reports) {
  work.judged = true;
  work.offset = reports.size();
  work.record.trips.clear();
  std::optional<Error> error;
  try {
    if (const auto log = shelf.open(work))
      error = LogJudge(settings, by, work, reports).judge(*log, shelf.vehicle());
  } catch (const std::bad_alloc&) {
    work.record.hash.clear();
    work.record.fresh = true;
    work.record.problems = {{work.record.path, 0, 0, "out of memory", "check this log by itself"}};
  }
  work.length = reports.size() - work.offset;
  return error;
}

} // namespace coolband
