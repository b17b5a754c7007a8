// SPDX-License-Identifier: Apache-2.0
// Records: out and in again, trips in time, and how a vehicle stands.
#include "fleet/vehicle_record.hpp"

#include "unit/fleet/made_records.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;
using namespace coolband::testing;

TEST_CASE("record: what goes out comes back") {
  VehicleRecord vehicle = made_vehicle("a \"b\"\n", {made_trip(Action::service, 0.9, 5.0)});
  vehicle.label = "Ä";
  vehicle.key = "k";
  vehicle.files = "f";
  vehicle.run = 3;
  vehicle.before = vehicle.state;
  vehicle.band = {BandSource::own, "p", 4, 80.25, 78.0, 82.5, true, ""};
  vehicle.logs[0].stamp = {12345678901, -5, 18446744073709551615ULL};
  vehicle.logs[0].fresh = true;
  vehicle.logs[0].rows_set_aside = 7;
  vehicle.logs[0].problems = {{"x.csv", 3, 4, "bad", "mend it"}};
  vehicle.problems = {{"y", 0, 0, "worse", ""}};
  vehicle.logs[0].trips[0].boiling_margin_c = 12.125;
  vehicle.logs[0].trips[0].measures = "{\"a\":1}";
  const auto again = parse_record(record_json(vehicle));
  REQUIRE(again);
  CHECK(record_json(*again) == record_json(vehicle));
  CHECK(again->logs[0].stamp == vehicle.logs[0].stamp);
  CHECK(again->logs[0].problems == vehicle.logs[0].problems);
  CHECK(*again->before == vehicle.state);
  CHECK(again->logs[0].trips[0].measures == "{\"a\":1}");
}

TEST_CASE("record: what is damaged or of another version is refused") {
  const std::string good = record_json(made_vehicle("a", {made_trip(Action::none, 0.9)}));
  for (std::string bad : {std::string(), std::string("[]"), good.substr(0, good.size() / 2)})
    CHECK_FALSE(parse_record(bad));
  std::string other = good;
  other.replace(other.find("record/1"), 8, "record/2");
  CHECK_FALSE(parse_record(other));
  std::string name = good;
  name.replace(name.find("\"normal\""), 8, "\"better\"");
  CHECK_FALSE(parse_record(name));
}

TEST_CASE("record: numbers that are none become null") {
  VehicleRecord vehicle = made_vehicle("a", {made_trip(Action::none, 0.9)});
  vehicle.logs[0].trips[0].median_c = std::nan("");
  const auto again = parse_record(record_json(vehicle));
  REQUIRE(again);
  CHECK_FALSE(again->logs[0].trips[0].median_c);
}

TEST_CASE("trips in time: by start where all have one, else by log") {
  auto vehicle =
      made_vehicle("a", {made_trip(Action::none, 0.1, 300.0), made_trip(Action::none, 0.2, 100.0),
                         made_trip(Action::none, 0.3, 200.0)});
  const auto confidences = [&] {
    std::vector<double> list;
    for (const TripOfLog& trip : trips_in_time(vehicle)) list.push_back(trip.trip->confidence);
    return list;
  };
  CHECK(confidences() == std::vector{0.2, 0.3, 0.1});
  vehicle.logs[1].trips[0].start_s.reset();
  CHECK(confidences() == std::vector{0.1, 0.2, 0.3});
}

TEST_CASE("state: the gravest of the latest trips") {
  const auto vehicle =
      made_vehicle("a", {made_trip(Action::stop, 0.99, 1.0), made_trip(Action::none, 0.9, 2.0),
                         made_trip(Action::service, 0.6, 3.0), made_trip(Action::service, 0.8, 4.0),
                         made_trip(Action::monitor, 0.9, 5.0)});
  const VehicleState latest = state_of(vehicle, 4);
  CHECK(latest.action == Action::service);
  CHECK(latest.confidence == 0.8);
  CHECK(latest.log == "a/3.csv");
  CHECK(latest.as_grave == 2);
  CHECK(latest.latest == 4);
  CHECK(latest.trips == 5);
  CHECK(state_of(vehicle, 5).action == Action::stop);
  CHECK(state_of(vehicle, 1).action == Action::monitor);
}

TEST_CASE("state: of equals the one nearest to boiling, then the latest") {
  auto vehicle =
      made_vehicle("a", {made_trip(Action::service, 0.8, 1.0), made_trip(Action::service, 0.8, 2.0),
                         made_trip(Action::service, 0.8, 3.0)});
  CHECK(state_of(vehicle, 3).log == "a/2.csv");
  vehicle.logs[1].trips[0].boiling_margin_c = 9.0;
  vehicle.logs[2].trips[0].boiling_margin_c = 20.0;
  CHECK(state_of(vehicle, 3).log == "a/1.csv");
  CHECK(state_of(vehicle, 3).boiling_margin_c == 9.0);
}

TEST_CASE("state: of no trip nothing is said") {
  const VehicleState state = state_of(made_vehicle("a", {}), 5);
  CHECK(state.trips == 0);
  CHECK(state.headline.empty());
}

TEST_CASE("problem: one line with its place, safe on a terminal") {
  CHECK(words_of({"a.csv", 3, 14, "bad", "mend it"}) == "a.csv:3:14: bad (mend it)");
  CHECK(words_of({"a\x1b[2J", 0, 5, "bad", ""}) == "a?[2J: bad");
}

TEST_CASE("plain: normal, with nothing to do and nothing unexplained") {
  TripRecord trip = made_trip(Action::none, 0.9);
  CHECK(trip.plain());
  trip.unexplained = 1;
  CHECK_FALSE(trip.plain());
  CHECK_FALSE(made_trip(Action::monitor, 0.9).plain());
}
