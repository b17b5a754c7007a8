// SPDX-License-Identifier: Apache-2.0
// Trends and odd siblings as a fleet's summary tells them, from records in any order.
#include "fleet/outlook.hpp"

#include "fleet/fleet_report.hpp"
#include "fleet/fleet_words.hpp"
#include "fleet/trend_json.hpp"
#include "fleet/trend_words.hpp"
#include "unit/fleet/made_records.hpp"
#include "unit/fleet/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// A vehicle whose trips are all judged as normal.
VehicleRecord driven_vehicle(const std::string& id, const TripMaker& maker,
                             const std::string& group = "") {
  std::vector<TripRecord> trips;
  for (const TripMeasures& measures : made_trips(maker)) {
    TripRecord trip = made_trip(Action::none, 0.9);
    trip.measures = trip_measures_text(measures);
    trips.push_back(std::move(trip));
  }
  VehicleRecord vehicle = made_vehicle(id, std::move(trips));
  vehicle.course = course_of(vehicle, group, {});
  return vehicle;
}

constexpr std::size_t k_creeping = 5;

/// One of them creeps, one has a finding; of six like ones the fourth lies high.
std::vector<VehicleRecord> some_fleet() {
  std::vector<VehicleRecord> fleet;
  for (std::size_t i = 0; i < 8; ++i) {
    TripMaker maker{.seed = 50 + i, .count = 60};
    if (i == k_creeping) maker.drift = ramp(25, 0.12);
    fleet.push_back(driven_vehicle("v" + std::to_string(i), maker));
  }
  for (std::size_t i = 0; i < 6; ++i) {
    TripMaker maker{.seed = 90 + i, .count = 8};
    if (i == 3) maker.drift = [](std::size_t) { return 9.0; };
    fleet.push_back(driven_vehicle("like" + std::to_string(i), maker, "yard"));
  }
  fleet.push_back(made_vehicle("found", {made_trip(Action::monitor, 0.4)}));
  return fleet;
}

FleetSummary summary_of(const std::vector<VehicleRecord>& fleet) {
  FleetSummary summary(0);
  for (const VehicleRecord& vehicle : fleet) REQUIRE_FALSE(summary.add(vehicle, 0));
  summary.compare();
  return summary;
}

std::string json_of(const FleetSummary& summary) {
  std::string text;
  REQUIRE_FALSE(render_fleet_json(summary, {}, [&](std::string_view piece) {
    text += piece;
    return std::optional<Error>();
  }));
  return text;
}

} // namespace

TEST_CASE("outlook: who creeps and who is odd is listed, below findings, above the rest") {
  const auto summary = summary_of(some_fleet());
  CHECK(summary.outlooks().charted == 8);
  CHECK(summary.outlooks().creeping == 1);
  CHECK(summary.outlooks().compared == 6);
  CHECK(summary.outlooks().odd == 1);
  CHECK(summary.counts().by_action == std::array<std::size_t, 4>{12, 3, 0, 0});
  std::vector<std::string> listed;
  std::size_t rank = 0;
  REQUIRE_FALSE(
      summary.for_each_with_outlook([&](const VehicleRecord& vehicle, const Outlook& outlook) {
        CHECK((rank == 0) == (vehicle.id == "found"));
        CHECK(outlook.listed() == (rank == 1 || rank == 2));
        CHECK((todo_of(vehicle, outlook) == Action::monitor) == (rank <= 2));
        if (outlook.listed()) listed.push_back(vehicle.id);
        if (outlook.trend) CHECK(creeping_words(outlook).size() == outlook.creeping.size() + 1);
        if (outlook.siblings) CHECK(odd_words(outlook).size() == outlook.distances.size());
        ++rank;
        return true;
      }));
  std::sort(listed.begin(), listed.end());
  CHECK(listed == std::vector<std::string>{"like3", "v5"});
}

TEST_CASE("outlook: what is believed is what the pure functions say of the whole fleet") {
  const auto fleet = some_fleet();
  std::vector<double> p;
  std::vector<TripMeasures> trips;
  for (const VehicleRecord& vehicle : fleet)
    p.push_back(vehicle.course.trend_p.value_or(std::numeric_limits<double>::quiet_NaN()));
  for (const LogRecord& log : fleet[k_creeping].logs)
    trips.push_back(*parse_trip_measures(log.trips[0].measures, log.path));
  const VehicleTrend trend = trend_of(trips);
  const auto expected = believed(trend, fleet_trends(p).level);
  REQUIRE_FALSE(expected.empty());
  REQUIRE_FALSE(summary_of(fleet).for_each_with_outlook(
      [&](const VehicleRecord& vehicle, const Outlook& outlook) {
        if (vehicle.id == "v5") CHECK(creeping_words(outlook) == trend_words(trend, expected));
        return true;
      }));
}

TEST_CASE(
    "outlook: the summary is the same bytes in whatever order vehicles come, and from records") {
  auto fleet = some_fleet();
  const std::string expected = json_of(summary_of(fleet));
  CHECK(expected.find("has crept up") != std::string::npos);
  CHECK(expected.find("like vehicles (") != std::string::npos);
  for (int i = 0; i < 5; ++i) {
    std::rotate(fleet.begin(), fleet.begin() + 4, fleet.end());
    std::swap(fleet[0], fleet[7]);
    for (VehicleRecord& vehicle : fleet) {
      auto read = parse_record(record_json(vehicle)); // as a store, or another machine, keeps it
      REQUIRE(read);
      vehicle = std::move(*read);
    }
    CHECK(json_of(summary_of(fleet)) == expected);
  }
}

TEST_CASE("outlook: a vehicle with a finding keeps its place, and its own action") {
  auto fleet = some_fleet();
  fleet[k_creeping].state.action = Action::service;
  fleet[k_creeping].state.confidence = 0.2;
  fleet.front().state.action = Action::service;
  fleet.front().state.confidence = 0.3;
  const auto summary = summary_of(fleet);
  std::vector<std::string> first;
  REQUIRE_FALSE(
      summary.for_each_with_outlook([&](const VehicleRecord& vehicle, const Outlook& outlook) {
        first.push_back(vehicle.id);
        if (vehicle.id != "v5") return true;
        CHECK(outlook.trend);
        CHECK(todo_of(vehicle, outlook) == Action::service);
        CHECK(finding_words(vehicle, outlook) == vehicle.state.headline);
        return false;
      }));
  CHECK(first == std::vector<std::string>{"v0", "v5"});
  CHECK(summary.counts().by_action == std::array<std::size_t, 4>{11, 2, 2, 0});
}

TEST_CASE("outlook: only measures that a trend may need are kept at hand") {
  const auto fleet = some_fleet();
  CHECK(FleetCourses::may_creep(fleet[k_creeping].course));
  REQUIRE_FALSE(summary_of(fleet).for_each_ranked([&](const VehicleRecord& vehicle) {
    const bool kept = !vehicle.logs.front().trips.front().measures.empty();
    CHECK(kept == FleetCourses::may_creep(vehicle.course));
    return true;
  }));
}

TEST_CASE("outlook: a service begins another baseline") {
  TripMaker maker{.seed = 7, .count = 80};
  maker.drift = [](std::size_t i) { return i < 40 ? 0.0 : 4.0; };
  VehicleRecord vehicle = driven_vehicle("a", maker);
  REQUIRE(vehicle.course.trend_p);
  CHECK(*vehicle.course.trend_p < 0.001);
  vehicle.course = course_of(vehicle, "", {"2031-03-22"}); // day 80, the 41st trip
  REQUIRE(vehicle.course.trend_p);
  CHECK(*vehicle.course.trend_p > k_false_share);
}

TEST_CASE("outlook: nothing is known of vehicles without measures, few trips or like ones") {
  std::vector<VehicleRecord> fleet{made_vehicle("old", {made_trip(Action::none, 0.9)})};
  fleet.back().course = course_of(fleet.back(), "yard", {});
  CHECK_FALSE(fleet.back().course.trend_p);
  for (std::size_t i = 0; i < 3; ++i)
    fleet.push_back(driven_vehicle("few" + std::to_string(i), {.seed = i, .count = 8}, "yard"));
  const auto summary = summary_of(fleet);
  CHECK(summary.outlooks().charted == 0);
  CHECK(summary.outlooks().compared == 0);
  CHECK(creeping_count_words(summary.outlooks()).empty());
  CHECK(odd_count_words(summary.outlooks()).empty());
}

TEST_CASE("outlook: a record of a version that kept no measures can be read") {
  VehicleRecord vehicle = made_vehicle("a", {made_trip(Action::none, 0.9)});
  vehicle.course.group = "yard";
  std::string text = record_json(vehicle);
  const auto whole = parse_record(text);
  REQUIRE(whole);
  CHECK(whole->course.group == "yard");
  text.replace(text.find(",\"course\""), std::string::npos, "}");
  const auto old = parse_record(text);
  REQUIRE(old);
  CHECK(old->course.group.empty());
  CHECK(old->id == "a");
}
