// SPDX-License-Identifier: Apache-2.0
// Trips as rows for a spreadsheet.
#include "fleet/fleet_report.hpp"

#include "core/code_point.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace coolband {

namespace {

/// A spreadsheet takes a cell that begins so for a formula, and runs it; some pass over blanks
/// before it, or take the full-width forms of East Asian text (from memory).
bool looks_like_formula(std::string_view text) {
  if (text.empty()) return false;
  if (std::string_view("\t\r\n").find(text.front()) != std::string_view::npos) return true;
  text.remove_prefix(std::min(text.find_first_not_of(" \t\r\n"), text.size()));
  if (text.empty()) return false;
  constexpr std::u32string_view k_begins = U"=+-@\uFF1D\uFF0B\uFF0D\uFF20";
  return k_begins.find(first_code_point(text).value) != std::u32string_view::npos;
}

/// As RFC 4180 quotes it.
std::string cell(std::string_view text) {
  std::string value = (looks_like_formula(text) ? "'" : "") + printable(std::string(text));
  if (value.find_first_of(",\"\r\n") == std::string::npos) return value;
  std::string quoted = "\"";
  for (const char c : value) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + '"';
}

std::string number(const std::optional<double>& value, int decimals) {
  return value ? fmt::format("{:.{}f}", *value, decimals) : "";
}

std::string row_of(const VehicleRecord& vehicle, const LogRecord& log, std::size_t index) {
  const TripRecord& trip = log.trips[index];
  std::string row;
  row += cell(vehicle.id) + ',' + cell(vehicle.label) + ',' + cell(log.path) + ',';
  row += fmt::format("{},{},", index + 1, cell(trip.start));
  row += fmt::format("{:.0f},{},", trip.duration_s, number(trip.distance_km, 1));
  row +=
      fmt::format("{},{},{:.3f},", name_of(trip.action), name_of(trip.condition), trip.confidence);
  row += fmt::format("{},{},{},", cell(trip.headline), trip.episodes, trip.unexplained);
  row += fmt::format("{},{},{},{},", number(trip.median_c, 1), number(trip.hottest_c, 1),
                     number(trip.boiling_margin_c, 1), number(trip.share_in_band, 3));
  return row + fmt::format("{}\r\n", name_of(vehicle.band.source));
}

} // namespace

std::string trip_table_heading() {
  return "vehicle,label,log,trip,start,duration_s,distance_km,action,condition,confidence,headline,"
         "episodes,unexplained_episodes,median_c,hottest_c,boiling_margin_c,share_in_band,band\r\n";
}

std::string trip_table_rows(const VehicleRecord& vehicle) {
  std::string rows;
  for (const LogRecord& log : vehicle.logs) {
    for (std::size_t i = 0; i < log.trips.size(); ++i) rows += row_of(vehicle, log, i);
  }
  return rows;
}

} // namespace coolband
