// SPDX-License-Identifier: Apache-2.0
// Rows for a spreadsheet: quoted as RFC 4180 says, and nothing in them runs.
#include "fleet/fleet_report.hpp"

#include "unit/fleet/made_records.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;
using namespace coolband::testing;

TEST_CASE("table: as many cells as headings") {
  const std::string heading = trip_table_heading();
  const std::string row = trip_table_rows(made_vehicle("a", {made_trip(Action::none, 0.5)}));
  CHECK(std::count(heading.begin(), heading.end(), ',') == std::count(row.begin(), row.end(), ','));
  CHECK(heading.ends_with("\r\n"));
  CHECK(row.ends_with("\r\n"));
}

TEST_CASE("table: commas and quotes are quoted, a row is one line") {
  auto vehicle = made_vehicle("a,b", {made_trip(Action::none, 0.5)});
  vehicle.label = "say \"so\"\nor not";
  CHECK(trip_table_rows(vehicle).starts_with("\"a,b\",\"say \"\"so\"\"?or not\",\"a,b/0.csv\",1,"));
}

TEST_CASE("table: no cell is a formula") {
  for (const std::string id : {"=1+1", "+1", "-1", "@x", "\tx", "\rx", "\n=x", " =x", "\uFF1D1"}) {
    auto vehicle = made_vehicle(id, {made_trip(Action::none, 0.5)});
    const std::string row = trip_table_rows(vehicle);
    CHECK_MESSAGE((row.starts_with("'") || row.starts_with("\"'")), id);
  }
}
