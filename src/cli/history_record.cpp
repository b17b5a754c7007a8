// SPDX-License-Identifier: Apache-2.0
// Writing events into the history of a band file, on request only.
#include "cli/history_record.hpp"

#include "cli/band_lock.hpp"
#include "cli/console.hpp"
#include "cli/output.hpp"
#include "cli/usage_error.hpp"
#include "coolband/band/band_file.hpp"
#include "coolband/core/timestamp.hpp"

#include <fmt/core.h>

namespace coolband::cli {

namespace {

Error usage_at(const std::string& path, const std::string& what) {
  return {ErrorKind::usage, {path}, what, "", "name the band of the vehicle that the logs are of"};
}

} // namespace

void add_record_options(CLI::App& command, RecordOptions& options, const std::string& what) {
  command.add_flag("--record", options.record,
                   "write " + what + " into the history of the band file");
  command
      .add_option("--date", options.date,
                  "the day to record it under, where the logs have no date or for another one")
      ->type_name("DATE");
  command.add_option("--by", options.by, "who records it")->type_name("NAME");
}

std::optional<Error> check_day(const std::string& option, const std::string& text) {
  if (day_of(text) == text) return std::nullopt;
  return usage(option + " '" + text + "' is no date",
               "give the day as YYYY-MM-DD, e.g. " + option + " 2031-05-06");
}

std::optional<Error> check_record(const RecordOptions& options, const std::string& band) {
  if (!options.record && !options.date.empty())
    return usage("--date says when to record, but nothing is recorded", "add --record");
  if (!options.record && !options.by.empty())
    return usage("--by says who records, but nothing is recorded", "add --record");
  if (options.record && band.empty())
    return usage("--record needs a band file to write to", "name it with --band");
  if (!options.date.empty()) {
    if (auto error = check_day("--date", options.date)) return error;
  }
  // Before the work, which would be in vain.
  return options.record ? write_protected(band) : std::nullopt;
}

Result<std::string> day_for(const RecordOptions& options, const std::string& start,
                            const std::string& source) {
  if (const auto day = day_of(options.date)) return *day;
  if (const auto day = day_of(start)) return *day;
  return Error{ErrorKind::usage,
               {source},
               "this log has no date to record it under",
               "",
               "give the day, e.g. --date 2031-05-06"};
}

std::string writer_of(const RecordOptions& options, const std::string& command) {
  return options.by.empty() ? "coolband " + command : options.by;
}

std::optional<EventTrip> event_trip(const Recording& recording, const TripFinding& finding,
                                    std::size_t number) {
  const std::string& path = recording.source;
  EventTrip trip;
  trip.start = format_instant(recording.clock, finding.trip.start_s);
  if (path != "-") trip.source = path.substr(path.find_last_of('/') + 1);
  // A date tells the trips of a log apart; else only their number does. The first has none: a log
  // of one trip may grow.
  if (!day_of(trip.start) && number > 0) trip.source += fmt::format("#{}", number + 1);
  if (trip.start.empty() && path == "-") return std::nullopt;
  return trip;
}

bool record_in(History& history, const HistoryEntry& entry, const std::string& path) {
  const Kept kept = add_event(history, entry);
  if (kept != Kept::not_kept) return kept != Kept::as_it_was;
  remark(fmt::format("{}: the {} of {} is not kept: the history is full, {} events, all of them "
                     "later or graver",
                     path, name_of(entry.kind), entry.date, k_history_entries));
  return false;
}

std::optional<Error> record_events(const std::string& path, const std::string& vehicle,
                                   const std::vector<HistoryEntry>& entries) {
  if (auto error = write_protected(path)) return error;
  const auto lock = BandLock::take(path);
  if (!lock) return lock.error();
  // Others may have written to it since it was read for the judgement.
  auto band = read_band(path);
  if (!band) return band.error();
  if (band->vehicle != vehicle)
    return usage_at(path, "this band is of '" + band->vehicle + "' by now, no longer of '" +
                              vehicle + "'");
  auto history = history_of(*band, path);
  if (!history) return history.error();
  bool any = false;
  for (const HistoryEntry& entry : entries) any = record_in(*history, entry, path) || any;
  if (!any) return std::nullopt;
  store_history(*band, *history);
  return write_output(path, write_band(*band), true);
}

} // namespace coolband::cli
