// SPDX-License-Identifier: Apache-2.0
#include "fleet/trend_json.hpp"
#include "unit/fleet/made_trips.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <string>

using namespace coolband;
using namespace coolband::testing;
using Json = nlohmann::ordered_json;

namespace {

TripMeasures full_trip() {
  TripMeasures trip = made_trips({}).front();
  trip.since = "2031-01-01";
  trip.measures[4] = Measured{std::log(9.0), 0.05, -0.123456};
  trip.lacks[4].clear();
  trip.share_in_band = 0.97;
  trip.hottest_c = 91.5;
  trip.boiling_margin_k = 27.25;
  trip.condition = Condition::radiator_restricted;
  trip.action = Action::service;
  trip.left_band = true;
  trip.unfit = "the reading stood still";
  return trip;
}

std::string again(const Json& json) {
  FieldReader reader("trips.json");
  const TripMeasures trip = trip_measures_from(reader, json);
  REQUIRE_FALSE(reader.complaint());
  return trip_measures_json(trip).dump();
}

std::string complaint_about(Json json, const char* key, const Json& value) {
  json[key] = value;
  FieldReader reader("trips.json");
  trip_measures_from(reader, json);
  return reader.complaint() ? describe(*reader.complaint()) : "";
}

} // namespace

TEST_CASE("a trip comes back from its JSON as it went in") {
  for (const TripMeasures& trip : {full_trip(), made_trips({}).front(), TripMeasures{}}) {
    const Json json = trip_measures_json(trip);
    CHECK(again(json) == json.dump());
    CHECK(again(Json::parse(json.dump())) == json.dump());
  }
}

TEST_CASE("every field of a trip is kept") {
  FieldReader reader("trips.json");
  const TripMeasures trip = trip_measures_from(reader, trip_measures_json(full_trip()));
  CHECK(trip.since == "2031-01-01");
  REQUIRE(trip.of(Measure::warm_up));
  CHECK(trip.of(Measure::warm_up)->beyond_band == -0.123456);
  CHECK(trip.lacks[2] == "not made");
  CHECK(trip.boiling_margin_k == 27.25);
  CHECK(trip.condition == Condition::radiator_restricted);
  CHECK(trip.action == Action::service);
  CHECK(trip.left_band);
  CHECK(trip.unfit == "the reading stood still");
  CHECK(trip.sensor == "coolant");
  CHECK(trip.band == BandOrigin::learned);
}

TEST_CASE("an impossible record is a complaint that names the field") {
  const Json json = trip_measures_json(full_trip());
  CHECK(complaint_about(json, "condition", "gremlins").find("condition") != std::string::npos);
  CHECK(complaint_about(json, "duration_s", -1).find("duration_s") != std::string::npos);
  CHECK(complaint_about(json, "measures", 7).find("measures") != std::string::npos);
  CHECK(complaint_about(json, "left_band", "yes").find("left_band") != std::string::npos);
  CHECK(complaint_about(json, "source", nullptr).find("source") != std::string::npos);
  CHECK(complaint_about(json, "unknown", 1).empty());
}

TEST_CASE("a record is small") { CHECK(trip_measures_json(full_trip()).dump().size() < 1000); }

TEST_CASE("a trend's JSON has the numbers of every measure, and words for those believed") {
  TripMaker maker;
  maker.count = 120;
  maker.drift = ramp(40, 0.05);
  const auto trend = trend_of(made_trips(maker));
  const Json json = trend_json(trend, believed(trend, trend.p));
  CHECK(json.at("trips") == 120);
  REQUIRE(json.at("measures").size() == k_measures);
  CHECK(json.at("measures")[0].at("measure") == "level");
  CHECK(json.at("measures")[0].at("direction") == "up");
  CHECK(json.at("measures")[0].at("per_100_days").at("slope") ==
        trend.measures[0].per_100_days->slope);
  CHECK(json.at("measures")[3].at("lacks") == "too few trips tell it");
  CHECK_FALSE(json.at("words").empty());
  CHECK(trend_json(trend_of({}), {}).at("p").is_null());
}

TEST_CASE("a trip goes through one line of text, whatever its source is called") {
  TripMeasures trip = full_trip();
  trip.source = "na\xefve \"trip\"\n.csv";
  const std::string text = trip_measures_text(trip);
  CHECK(text.find('\n') == std::string::npos);
  const auto again = parse_trip_measures(text, "record");
  REQUIRE(again);
  CHECK(trip_measures_text(*again) == text);
  const auto damaged = parse_trip_measures(text.substr(0, 40), "record");
  REQUIRE_FALSE(damaged);
  CHECK(describe(damaged.error()).rfind("record:1:", 0) == 0);
  CHECK_FALSE(parse_trip_measures("[]", "record"));
}

TEST_CASE("siblings' JSON has every measure compared, and words for those believed") {
  std::vector<SiblingLevels> vehicles(6, SiblingLevels{"V", "g", {}});
  for (std::size_t i = 0; i < vehicles.size(); ++i) vehicles[i].levels[0] = i == 4 ? 99.0 : 82.0;
  const auto among = among_siblings(vehicles);
  const Json json = siblings_json(among[4], believed(among[4], among[4].p));
  REQUIRE(json.at("measures").size() == 1);
  CHECK(json.at("measures")[0].at("distance") == 17.0);
  CHECK(json.at("words") == Json{"the level lies 17.0 K above that of 5 like vehicles (82.0 °C)"});
  CHECK(siblings_json(AmongSiblings{}, {}).at("p").is_null());
}
