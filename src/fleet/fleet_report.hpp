// SPDX-License-Identifier: Apache-2.0
// What a fleet's run tells: rows for a spreadsheet, a summary for a person or as
// `coolband.fleet/1`, an overview as a page. Pure functions of records.
#pragma once

#include "coolband/report/report.hpp"
#include "fleet/fleet_summary.hpp"

#include <cstddef>
#include <functional>
#include <string>

namespace coolband {

/// The heading of the table of trips, RFC 4180 (CRLF).
std::string trip_table_heading();
/// One row a trip of the vehicle, by log. A cell that a spreadsheet would take for a formula gets
/// an apostrophe in front.
std::string trip_table_rows(const VehicleRecord& vehicle);

/// The latest trips of a vehicle: what the summary, the picture and the list of pages hold. The
/// reports have all.
inline constexpr std::size_t k_latest_trips = 30;

struct SummaryOptions {
  bool has_store = false; ///< changes since the last run are known
  std::size_t most = 20;  ///< vehicles and problems that are told one by one
  bool brief = false;     ///< short enough for a mail
  std::string pages;      ///< folder of pages as the overview links to it; empty: no pages
  bool pages_for_all = false;
};

/// For a person; ends with a newline.
Result<std::string> render_fleet(const FleetSummary& summary, const SummaryOptions& options,
                                 const TextStyle& style);

/// `coolband.fleet/1`, piece by piece; a newline at the end.
std::optional<Error> render_fleet_json(const FleetSummary& summary, const SummaryOptions& options,
                                       const TextSink& sink);

/// One page with one row a vehicle (the gravest 2000), piece by piece.
Result<std::string> render_fleet_html(const FleetSummary& summary, const SummaryOptions& options);

} // namespace coolband
