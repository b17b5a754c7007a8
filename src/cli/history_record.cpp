// SPDX-License-Identifier: Apache-2.0
// Writing events into the history of a band file, on request only.
#include "cli/history_record.hpp"

#include "cli/output.hpp"
#include "cli/usage_error.hpp"
#include "coolband/band/band_file.hpp"

namespace coolband::cli {

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
  if (!options.date.empty()) return check_day("--date", options.date);
  return std::nullopt;
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

std::optional<Error> record_events(NormalBand band, const std::string& path,
                                   const std::vector<HistoryEntry>& entries) {
  auto history = history_of(band, path);
  if (!history) return history.error();
  bool any = false;
  for (const HistoryEntry& entry : entries) any = add_event(*history, entry) || any;
  if (!any) return std::nullopt;
  store_history(band, *history);
  return write_output(path, write_band(band), true);
}

} // namespace coolband::cli
