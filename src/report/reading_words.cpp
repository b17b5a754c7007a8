// SPDX-License-Identifier: Apache-2.0
// Which log, which vehicle, and how it was read, in words that every report shares.
#include "report/reading_words.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string counted(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string place(const SetAside& item) {
  std::string text = fmt::format("first: row {}", item.first_row);
  if (item.first_line > 0) text += fmt::format(", line {}", item.first_line);
  return text;
}

std::string layout_words(const HowRead& how) {
  std::string text = form_words(how);
  if (!how.delimiter.empty()) text += ", " + how.delimiter;
  if (how.decimal_comma) text += ", decimal comma";
  if (!how.clock.empty()) text += ", clock: " + how.clock;
  return text;
}

bool sure_of_unit(const ColumnReading& column) {
  return column.unit_origin == "heading" || column.unit_origin == "units row" ||
         column.unit_origin == "given";
}

std::string column_words(const ColumnReading& column) {
  std::string text = fmt::format("{} = '{}'", name_of(column.role), column.heading);
  if (!column.unit.empty())
    text +=
        fmt::format(" [{}{}]", column.unit, sure_of_unit(column) ? "" : ", " + column.unit_origin);
  return text;
}

} // namespace

std::string trip_words(const Recording& recording, const Trip& trip) {
  std::string text = recording.source == "-" ? "standard input" : recording.source;
  if (!trip.trip_id.empty()) text += ", trip " + trip.trip_id;
  const std::string start = format_instant(recording.clock, trip.start_s);
  if (!start.empty()) text += ", " + start;
  text += ", " + format_duration(trip.duration_s);
  if (trip.distance_km) text += fmt::format(", {:.1f} km", *trip.distance_km);
  if (trip.sample_period_s > 0) text += ", every " + seconds_words(trip.sample_period_s);
  return text;
}

std::string short_trip_words(const Recording& recording, const Trip& trip) {
  std::string text = recording.source == "-"
                         ? "standard input"
                         : recording.source.substr(recording.source.find_last_of('/') + 1);
  if (!trip.trip_id.empty()) text += ", trip " + trip.trip_id;
  const std::string start = format_instant(recording.clock, trip.start_s);
  if (!start.empty()) text += ", " + start;
  return text;
}

std::string vehicle_id(const TripReport& report) {
  if (report.profile) return report.profile->id;
  if (report.finding.band && !report.finding.band->vehicle.empty())
    return report.finding.band->vehicle;
  return report.finding.trip.vehicle_id;
}

std::string vehicle_words(const TripReport& report) {
  std::string text = vehicle_id(report);
  if (report.profile && report.profile->label) text += ", " + *report.profile->label;
  return text;
}

std::string form_words(const HowRead& how) {
  std::string text = how.format;
  for (const std::string* part : {&how.compression, &how.encoding, &how.shape}) {
    if (!part->empty()) text += ", " + *part;
  }
  return text;
}

std::string reading_words(const HowRead& how) {
  std::string text = layout_words(how);
  for (const ColumnReading& column : how.columns) text += "; " + column_words(column);
  return text;
}

std::string reading_in_short(const HowRead& how) {
  std::string text = how.format;
  if (!how.compression.empty()) text += ", " + how.compression;
  if (how.encoding != "ASCII" && how.encoding != "UTF-8" && !how.encoding.empty())
    text += ", " + how.encoding;
  if (how.shape != "wide" && !how.shape.empty()) text += ", " + how.shape;
  if (how.decimal_comma) text += ", decimal comma";
  std::size_t others = 0;
  for (const ColumnReading& column : how.columns) {
    if (column.role == Role::coolant || !(column.unit.empty() || sure_of_unit(column)))
      text += "; " + column_words(column);
    else
      ++others;
  }
  if (others > 0) text += fmt::format("; {} by heading", counted(others, "other"));
  return text;
}

std::vector<std::string> set_aside_words(const std::vector<SetAside>& items,
                                         std::string_view noun) {
  std::vector<std::string> words;
  words.reserve(items.size());
  for (const SetAside& item : items) {
    words.push_back(
        fmt::format("{}: {} ({})", counted(item.count, noun), item.reason, place(item)));
  }
  return words;
}

std::string seconds_words(double seconds) {
  return seconds < 100.0 ? fmt::format("{:.2g} s", seconds) : fmt::format("{:.0f} s", seconds);
}

} // namespace coolband
