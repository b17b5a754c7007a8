// SPDX-License-Identifier: Apache-2.0
// The promises of recording.hpp and error.hpp, looked at row by row.
#include "fuzz/properties.hpp"

#include "import/import_source.hpp"
#include "support/drip_source.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <utility>

#include <fmt/core.h>

namespace coolband::testing {

namespace {

void check_list(const std::vector<SetAside>& list, const HowRead& how, std::size_t lines) {
  for (const SetAside& entry : list) {
    require(entry.count > 0 && !entry.reason.empty(), "what is counted has a reason");
    require(entry.first_row >= 1 && entry.first_row <= how.rows,
            "first row within: " + entry.reason);
    require(lines == 0 || entry.first_line <= lines, "first line within: " + entry.reason);
  }
}

std::size_t total(const std::vector<SetAside>& list, std::string_view part) {
  std::size_t count = 0;
  for (const SetAside& entry : list)
    count += entry.reason.find(part) == std::string::npos ? 0U : entry.count;
  return count;
}

void check_time(const Recording& log) {
  std::size_t back = 0;
  for (std::size_t i = 0; i < log.size(); ++i) {
    require(std::isfinite(log.time_s[i]), "times are finite");
    if (i > 0) back += log.time_s[i] < log.time_s[i - 1] ? 1U : 0U;
    format_instant(log.clock, log.time_s[i]);
  }
  require(log.time_s[0] == 0.0, "time counts from the first row");
  require(back <= total(log.how.clock_events, "set back"), "each step back is counted");
  require(std::abs(log.clock.start_s) <= 1e12, "the clock starts at a time");
}

void check_places(const Recording& log, std::size_t lines) {
  std::size_t last = 0;
  bool down = log.size() > 1 && log.row_map.at(0).row > log.row_map.at(1).row;
  for (std::size_t i = 0; i < log.size(); ++i) {
    const RowMap::Place place = log.row_map.at(i);
    require(place.row >= 1 && place.row <= log.how.rows, "each row is one of the input");
    require(lines == 0 || place.line <= lines, "each line is in the input");
    require((place.line == 0) == (log.how.format == "json columns"), "each row has a line");
    if (i > 0 && log.how.shape == "wide")
      require(down ? place.row < last : place.row > last, "rows keep their order");
    last = place.row;
  }
}

void check_column(const Recording& log, Role role) {
  const Column& column = log.column(role);
  if (column.empty()) return;
  const std::string name(name_of(role));
  require(column.size() == log.size(), name + " is as long as the time");
  std::size_t missing = 0;
  for (const float value : column) {
    require(!std::isinf(value), name + " is finite or missing");
    missing += std::isnan(value) ? 1U : 0U;
  }
  if (log.how.shape == "wide")
    require(missing == total(log.how.missing_cells, name + " is "), name + ": gaps are counted");
}

void check_recording(const Recording& log, std::size_t lines) {
  const HowRead& how = log.how;
  const std::size_t aside = total(how.set_aside, "");
  require(log.size() > 0, "a recording has rows");
  require(aside <= how.rows, "no row is set aside twice");
  if (how.shape == "wide") require(log.size() + aside == how.rows, "kept and set aside are all");
  check_list(how.set_aside, how, lines);
  check_list(how.missing_cells, how, lines);
  check_list(how.clock_events, how, lines);
  check_time(log);
  check_places(log, lines);
  for (std::size_t i = 1; i < k_role_count; ++i) check_column(log, static_cast<Role>(i));
  std::size_t last = 0;
  for (const TextChange& change : log.text_changes) {
    require(change.index >= last && change.index < log.size(), "texts change in order");
    last = change.index;
  }
}

void tell(std::string& text, std::string_view part) { (text += part) += '\n'; }

void tell(std::string& text, const std::vector<SetAside>& list) {
  for (const SetAside& entry : list)
    text +=
        fmt::format("{} {} {} {}\n", entry.reason, entry.count, entry.first_row, entry.first_line);
  text += "-\n";
}

void tell_how(std::string& text, const HowRead& how) {
  for (const std::string& part :
       {how.format, how.compression, how.encoding, how.shape, how.delimiter, how.clock})
    tell(text, part);
  tell(text, fmt::format("{} {} {}", how.decimal_comma, how.header_line, how.rows));
  for (const ColumnReading& column : how.columns)
    tell(text, fmt::format("{} {} {} {} {}", name_of(column.role), column.heading, column.column,
                           column.unit, column.unit_origin));
  for (const std::string& heading : how.ignored) tell(text, heading);
  tell(text, how.set_aside);
  tell(text, how.missing_cells);
  tell(text, how.clock_events);
  for (const std::string& note : how.notes) tell(text, note);
}

} // namespace

void require(bool holds, const std::string& what) {
  if (!holds) throw std::runtime_error("does not hold: " + what);
}

void check_error(const Error& error) {
  require(!error.message.empty(), "an error says what was wrong");
  require(error.kind != ErrorKind::internal, "bad input is no defect: " + error.message);
  const std::string text = describe(error);
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    require((byte >= 0x20 && byte != 0x7F) || byte == '\n', "an error has no control characters");
    const bool c1 = byte == 0xC2 && i + 1 < text.size() &&
                    static_cast<unsigned char>(text[i + 1]) < 0xA0 &&
                    static_cast<unsigned char>(text[i + 1]) >= 0x80;
    require(!c1, "an error has no C1 control characters");
  }
}

void check_result(const Result<Recording>& result, std::size_t lines) {
  if (result)
    check_recording(*result, lines);
  else
    check_error(result.error());
}

std::string story_of(const Result<Recording>& result) {
  if (!result) return describe(result.error());
  const Recording& log = *result;
  std::string text;
  tell_how(text, log.how);
  tell(text, fmt::format("{} {}", log.clock.start_s, log.clock.offset_min));
  for (std::size_t i = 0; i < log.size(); ++i) {
    const RowMap::Place place = log.row_map.at(i);
    text += fmt::format("{}:{} {}", place.row, place.line, log.time_s[i]);
    for (const Column& column : log.values)
      if (!column.empty()) text += fmt::format(" {}", column[i]);
    text += '\n';
  }
  for (const TextChange& change : log.text_changes)
    tell(text, fmt::format("{} {} {}", change.index, name_of(change.role), change.text));
  return text;
}

void check_pieces(std::string_view bytes, const Result<Recording>& whole) {
  const std::string story = story_of(whole);
  for (const std::size_t most : {1U, 3U, 61U}) {
    DripSource source(bytes, most);
    const auto result = import_source(source, "log", {});
    require(story_of(result) == story, fmt::format("the same in pieces of {}", most));
  }
}

bool run_target(std::string_view target, std::string_view bytes) {
  constexpr std::array<std::pair<std::string_view, void (*)(std::string_view)>, 9> k_targets{
      {{"csv", run_csv},
       {"json", run_json},
       {"time", run_time},
       {"frames", run_frames},
       {"bytes", run_bytes},
       {"band", run_band},
       {"profile", run_profile},
       {"scenario", run_scenario},
       {"report", run_report}}};
  for (const auto& [name, run] : k_targets) {
    if (name != target) continue;
    run(bytes);
    return true;
  }
  return false;
}

std::size_t most_lines(std::string_view text) {
  return 1 + static_cast<std::size_t>(std::count_if(text.begin(), text.end(),
                                                    [](char c) { return c == '\n' || c == '\r'; }));
}

} // namespace coolband::testing
