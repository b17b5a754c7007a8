// SPDX-License-Identifier: Apache-2.0
// The checks behind the fuzz targets; the corpus is run through them in the normal tests as well.
#include "fuzz/properties.hpp"

#include "import/clock_text.hpp"
#include "import/frame_decoder.hpp"
#include "import/import_source.hpp"
#include "support/drip_source.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

#include <fmt/core.h>

namespace coolband::testing {

namespace {

std::string listed(const std::vector<SetAside>& list) {
  std::string text;
  for (const SetAside& entry : list)
    text += fmt::format("{} x{} @{}:{}; ", entry.reason, entry.count, entry.first_row,
                        entry.first_line);
  return text;
}

/// All that an import gives, as one text.
std::string story(const Result<Recording>& log) {
  if (!log) return describe(log.error());
  const HowRead& how = log->how;
  std::string text =
      fmt::format("{} {} {} {} {} ", how.format, how.shape, how.delimiter, how.clock, how.rows);
  text += listed(how.set_aside) + listed(how.missing_cells) + listed(how.clock_events);
  for (const std::string& note : how.notes) text += note;
  for (std::size_t i = 0; i < log->size(); ++i) {
    text += fmt::format("{} @{}", log->time_s[i], log->row_map.at(i).line);
    for (const Column& column : log->values)
      text += column.empty() ? std::string() : fmt::format(" {}", column[i]);
  }
  return text;
}

std::string check_rows(const Recording& log) {
  std::size_t aside = 0;
  for (const SetAside& entry : log.how.set_aside) aside += entry.count;
  if (log.how.shape == "wide" && log.size() + aside != log.how.rows)
    return fmt::format("{} kept and {} aside of {} rows", log.size(), aside, log.how.rows);
  if (log.size() + (log.how.shape == "wide" ? aside : 0) > log.how.rows)
    return "rows out of nothing";
  for (std::size_t i = 0; i < log.size(); ++i) {
    const std::size_t row = log.row_map.at(i).row;
    if (row == 0 || row > log.how.rows) return fmt::format("row {} has no place", i);
    if (!std::isfinite(log.time_s[i])) return fmt::format("time of row {} is not finite", i);
    if (i > 0 && log.time_s[i] < log.time_s[i - 1] && log.how.clock_events.empty())
      return fmt::format("time steps back in row {} and nothing tells", i);
  }
  return {};
}

std::string check_columns(const Recording& log) {
  for (const Column& column : log.values) {
    if (!column.empty() && column.size() != log.size()) return "columns of unequal length";
    for (const float value : column) {
      if (std::isinf(value)) return "a value is infinite";
    }
  }
  return {};
}

std::string lower(std::string_view text) {
  std::string small(text);
  std::transform(small.begin(), small.end(), small.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return small;
}

std::string values_of(FrameStandard standard, std::string_view identifier, std::string_view frame) {
  std::vector<FrameValue> values;
  const auto outcome = decode_frame(standard, identifier, frame, values);
  std::string text = fmt::format("{}:", static_cast<int>(outcome));
  for (const FrameValue& value : values) {
    const Scaling& scaling = value.parameter->scaling;
    const bool in_range = value.value >= scaling.lowest && value.value <= scaling.highest;
    if (value.state == FrameValue::State::value && !in_range) text += " OUT OF RANGE";
    text += fmt::format(" {}={}/{}", value.parameter->number, value.value,
                        static_cast<int>(value.state));
  }
  if ((outcome == FrameOutcome::decoded) == values.empty()) text += " OUTCOME AND VALUES DISAGREE";
  return text;
}

using TimeReader = bool (*)(std::string_view, double&);

std::string check_reader(TimeReader read, std::string_view text) {
  double seconds = 0.0;
  double padded_s = 0.0;
  const bool known = read(text, seconds);
  const bool padded = read(fmt::format("  {} ", text), padded_s);
  if (known && !std::isfinite(seconds)) return "a time is not finite";
  if (known != padded || (known && seconds != padded_s)) return "blanks change a time";
  return {};
}

template <DateOrder order>
bool read_by_order(std::string_view text, double& seconds) {
  Instant instant;
  const bool known = read_date_time(text, order, instant);
  seconds = instant.seconds;
  return known;
}

bool read_digits_only(std::string_view text, double& seconds) {
  Instant instant;
  const bool known = read_compact(text, instant);
  seconds = instant.seconds;
  return known;
}

} // namespace

std::string check_import(std::string_view bytes) {
  MemorySource whole(bytes);
  DripSource drips(bytes, bytes.size() < 2000 ? 1 : 61);
  const auto log = import_source(whole, "log", {});
  const auto again = import_source(drips, "log", {});
  if (story(log) != story(again))
    return fmt::format("in drips it reads differently:\n{}\n{}", story(log), story(again));
  if (!log) return log.error().message.empty() ? "an error without words" : std::string();
  std::string fault = check_rows(*log);
  return fault.empty() ? check_columns(*log) : fault;
}

std::string check_time(std::string_view text) {
  for (const TimeReader read :
       {TimeReader(read_clock_time), TimeReader(read_span), TimeReader(read_minutes),
        TimeReader(read_duration), TimeReader(read_digits_only),
        TimeReader(read_by_order<DateOrder::unknown>), TimeReader(read_by_order<DateOrder::dmy>),
        TimeReader(read_by_order<DateOrder::mdy>)}) {
    if (std::string fault = check_reader(read, text); !fault.empty()) return fault;
  }
  return {};
}

std::string check_frames(std::string_view text) {
  const std::size_t end = std::min(text.find('\n'), text.size());
  const std::string_view identifier = text.substr(0, end);
  const std::string_view frame = text.substr(std::min(end + 1, text.size()));
  for (const FrameStandard standard : {FrameStandard::j1979, FrameStandard::j1939}) {
    const std::string told = values_of(standard, identifier, frame);
    if (told.find("OUT") != std::string::npos) return told;
    if (told != values_of(standard, lower(identifier), lower(frame)))
      return "the case of the letters changes a frame: " + told;
  }
  recognise_frames({{identifier, frame}, {identifier, frame}, {identifier, frame}});
  return {};
}

std::string check_target(std::string_view target, std::string_view input) {
  if (target == "time") return check_time(input);
  if (target == "frames") return check_frames(input);
  if (target == "csv") return check_import("time_s,coolant_c,load_pct\n" + std::string(input));
  return check_import(input);
}

} // namespace coolband::testing
