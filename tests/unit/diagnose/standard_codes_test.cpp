// SPDX-License-Identifier: Apache-2.0
// Which codes of SAE J2012 and SAE J1939 go with a finding. The pairs are an engineering reading.
#include "diagnose/standard_codes.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Names = std::vector<std::string>;

Judgement found(Condition condition, Action action = Action::service) {
  Judgement j;
  j.condition = condition;
  j.action = action;
  return j;
}

Names names_of(const std::vector<StandardCode>& codes) {
  Names names;
  for (const StandardCode& code : codes) {
    CHECK_FALSE(code.title.empty());
    CHECK_FALSE(code.why.empty());
    CHECK((code.code[0] == 'P' ? code.system == "SAE J2012" : code.system == "SAE J1939"));
    names.push_back(code.code);
  }
  return names;
}

Names codes_of(const Judgement& j) { return names_of(standard_codes(j, Trip{}, Recording{})); }

/// A sensor fault that reads `reading_c` after 80 °C.
Names sensor_codes(double reading_c, Quality kind = Quality::off_scale,
                   const std::string& shape = "wide", const std::string& unit = "°C") {
  Recording recording;
  recording.how.shape = shape;
  recording.how.columns = {{Role::coolant, "ECT", 2, unit, "heading"}};
  Trip trip;
  trip.sensor_events = {{kind, 5, 9, 80.0, reading_c}};
  return names_of(standard_codes(found(Condition::sensor_fault), trip, recording));
}

Episode left(Direction side) {
  Episode episode;
  episode.direction = side;
  return episode;
}

} // namespace

TEST_CASE("each condition has its codes, and where there is no finding there are none") {
  CHECK(codes_of(found(Condition::normal, Action::none)).empty());
  CHECK(codes_of(found(Condition::undetermined, Action::monitor)).empty());
  CHECK(codes_of(found(Condition::thermostat_stuck_open)) == Names{"P0128", "SPN 110 FMI 17"});
  CHECK(codes_of(found(Condition::thermostat_stuck_closed)) == Names{"P2181", "SPN 110 FMI 15"});
  CHECK(codes_of(found(Condition::radiator_restricted)) == Names{"P2181", "SPN 110 FMI 15"});
  CHECK(codes_of(found(Condition::coolant_flow_low)) == Names{"P2181", "SPN 110 FMI 15"});
  CHECK(codes_of(found(Condition::fan_not_cooling)) ==
        Names{"P0483", "SPN 977 FMI 7", "SPN 110 FMI 15"});
  CHECK(codes_of(found(Condition::air_or_low_coolant)) ==
        Names{"P2181", "SPN 110 FMI 15", "P2560", "SPN 111 FMI 17"});
  CHECK(codes_of(found(Condition::overheating, Action::stop)) == Names{"P0217", "SPN 110 FMI 0"});
}

TEST_CASE("a sticking thermostat has the codes of the sides on which it left the band") {
  Judgement j = found(Condition::thermostat_sticking);
  CHECK(codes_of(j) == Names{"P2181"});
  j.episodes = {left(Direction::below)};
  CHECK(codes_of(j) == Names{"P2181", "SPN 110 FMI 17"});
  j.episodes.push_back(left(Direction::above));
  CHECK(codes_of(j) == Names{"P2181", "SPN 110 FMI 17", "SPN 110 FMI 15"});
  j.episodes[0].explained_by = Explanation::cold_weather;
  CHECK(codes_of(j) == Names{"P2181", "SPN 110 FMI 15"});
  j.regulation = {76.0, NominalSource::rating, 65.0, 60.0, CriterionOutcome::below, {}};
  CHECK(codes_of(j) == Names{"P0128", "SPN 110 FMI 18", "P2181", "SPN 110 FMI 15"});
}

TEST_CASE("below the regulation's limit is worse than below the band") {
  Judgement j = found(Condition::thermostat_stuck_open);
  j.regulation = {76.0, NominalSource::rating, 65.0, 70.0, CriterionOutcome::met, {}};
  CHECK(codes_of(j) == Names{"P0128", "SPN 110 FMI 17"});
  CHECK(standard_codes(j, Trip{}, Recording{})[0].why ==
        "held 70.0 °C, limit 65.0 °C: an on-board monitor may stay silent");
  j.regulation = {76.0, NominalSource::rating, 65.0, 60.0, CriterionOutcome::below, {}};
  CHECK(codes_of(j) == Names{"P0128", "SPN 110 FMI 18"});
  CHECK(standard_codes(j, Trip{}, Recording{})[0].why.find("should set it") != std::string::npos);
}

TEST_CASE("the nearer to boiling, the severer the mode") {
  Judgement j = found(Condition::radiator_restricted);
  j.boiling.margin_c = 12.0;
  CHECK(codes_of(j) == Names{"P2181", "SPN 110 FMI 15"});
  j.boiling.margin_c = 8.0;
  CHECK(codes_of(j) == Names{"P2181", "SPN 110 FMI 16"});
  j.action = Action::stop;
  CHECK(codes_of(j) == Names{"P2181", "P0217", "SPN 110 FMI 0"});
}

TEST_CASE("polarity: an open circuit reads cold by a high signal, a short hot by a low one") {
  // SAE J2012: the letter tells the signal's side; thermistors fall with temperature.
  const Names open{"P0118", "SPN 110 FMI 3"};
  const Names shorted{"P0117", "SPN 110 FMI 4"};
  CHECK(sensor_codes(-40.0) == open);
  CHECK(sensor_codes(-55.0) == open);
  CHECK(sensor_codes(160.0) == shorted);
  CHECK(sensor_codes(215.0) == shorted); // SAE J1979: raw FF, the end of the scale
}

TEST_CASE("a code for no value is no short") {
  const Names no_value{"P0115", "SPN 110 FMI 2"};
  CHECK(sensor_codes(127.0) == no_value); // the end of a signed byte
  CHECK(sensor_codes(128.0) == no_value);
  CHECK(sensor_codes(6553.5) == no_value);
  CHECK(sensor_codes(215.0, Quality::off_scale, "SAE J1939 frames") == no_value);
  CHECK(sensor_codes(1770.0) == no_value); // J1939-71: FF00 to FFFF of two bytes
  CHECK(sensor_codes(212.0) == no_value);  // reserved
  CHECK(sensor_codes(-273.0) == no_value);
  CHECK(sensor_codes(0.0, Quality::jump) == no_value);
  // 255 °F is 123.9 °C, which an engine can read, too.
  CHECK(sensor_codes((255.0 - 32.0) / 1.8, Quality::off_scale, "wide", "°F") == no_value);
  CHECK(sensor_codes(214.0) == Names{"P0115", "SPN 110 FMI 19"}); // J1939-71: FE, an error
}

TEST_CASE("a reading that jumps is intermittent, one that is only wrong is implausible") {
  CHECK(sensor_codes(30.0, Quality::jump) == Names{"P0119", "SPN 110 FMI 2"});
  CHECK(codes_of(found(Condition::sensor_fault)) == Names{"P0116", "SPN 110 FMI 2"});
  // What the sensor shows is no temperature, so no over-temperature either.
  CHECK(codes_of(found(Condition::sensor_fault, Action::stop)) == Names{"P0116", "SPN 110 FMI 2"});
}

TEST_CASE("several kinds of wrong reading give the codes of each, none twice") {
  Trip trip;
  trip.sensor_events = {{Quality::off_scale, 1, 1, 80.0, -40.0},
                        {Quality::jump, 3, 3, 80.0, 30.0},
                        {Quality::off_scale, 5, 5, 80.0, -40.0}};
  CHECK(names_of(standard_codes(found(Condition::sensor_fault), trip, Recording{})) ==
        Names{"P0118", "SPN 110 FMI 3", "P0119", "SPN 110 FMI 2"});
}
