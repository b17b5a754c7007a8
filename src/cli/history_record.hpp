// SPDX-License-Identifier: Apache-2.0
// Writing events into the history of a band file, on request only.
#pragma once

#include "band/history.hpp"
#include "cli/options.hpp"
#include "coolband/analyse.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband::cli {

/// --record, --date and --by.
struct RecordOptions {
  bool record = false;
  std::string date;
  std::string by;
};

/// `what` is written: "the finding".
void add_record_options(CLI::App& command, RecordOptions& options, const std::string& what);

/// To be asked before the work. Errors are of kind usage: options that do not go together, or no
/// date. `band` is empty where none was named.
std::optional<Error> check_record(const RecordOptions& options, const std::string& band);

/// An error (kind usage) unless `text` is a day and nothing else.
std::optional<Error> check_day(const std::string& option, const std::string& text);

/// The day to record under: --date, else that of `start`. Error (kind usage) where neither tells.
Result<std::string> day_for(const RecordOptions& options, const std::string& start,
                            const std::string& source);

/// Who is said to have written an entry: --by, else the command.
std::string writer_of(const RecordOptions& options, const std::string& command);

/// What the trip with this number (from 0) of a recording is known by; nothing where the log has
/// neither a clock of the day nor a name.
std::optional<EventTrip> event_trip(const Recording& recording, const TripFinding& finding,
                                    std::size_t number);

/// Adds an entry to the history of the band in the file, or tells on standard error that it is not
/// kept. Whether that changed the history.
bool record_in(History& history, const HistoryEntry& entry, const std::string& path);

/// Adds the entries to the history of the band in the file, as it is now, and writes it, whole or
/// not at all; not where all of them are in it. `vehicle`: whose band it was when it was read.
std::optional<Error> record_events(const std::string& path, const std::string& vehicle,
                                   const std::vector<HistoryEntry>& entries);

} // namespace coolband::cli
