// SPDX-License-Identifier: Apache-2.0
// The report of one small trip as a person reads it, and as a script does.
#include "coolband/report/report.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Json = nlohmann::ordered_json;

/// A finding whose every word is given here, so that only the report is tested.
struct Small {
  Recording recording;
  TripFinding finding;
  std::optional<VehicleProfile> profile;
};

Judgement small_judgement() {
  Judgement j;
  j.condition = Condition::thermostat_stuck_open;
  j.confidence = 0.7349;
  j.action = Action::service;
  j.headline = "the thermostat hangs open";
  j.reasons = {"below the band"};
  j.limits = {"no altitude"};
  j.causes = {{Condition::thermostat_stuck_open, 0.8, {"low"}, {}, {"look"}},
              {Condition::normal, 0.18, {}, {"too low"}, {}},
              {Condition::sensor_fault, 0.02, {}, {}, {"measure"}}};
  Episode episode;
  episode.start_s = 600.0;
  episode.end_s = 899.0;
  episode.first_row = 600;
  episode.last_row = 899;
  episode.extreme_c = 70.0;
  episode.worst_deviation_c = -10.0;
  episode.mean_deviation_c = -9.25;
  episode.load_pct = 35.0;
  episode.cause = Condition::thermostat_stuck_open;
  episode.confidence = 0.7349;
  j.episodes = {episode};
  j.boiling = {120.0, 38.0, {}};
  j.regulation = {76.0, NominalSource::rating, 65.0, 71.5, CriterionOutcome::met, {}};
  j.codes = {{"SAE J2012", "P0128", "Coolant thermostat", "runs cold"},
             {"SAE J1939", "SPN 110 FMI 17", "Engine coolant temperature: low", "runs cold"}};
  j.judged_s = 1200.0;
  j.share_in_band = 0.75;
  j.median_c = 80.0;
  j.p05_c = 70.0;
  j.p95_c = 81.0;
  j.hottest_c = 82.0;
  return j;
}

Small small() {
  Small s;
  s.finding.trip = MadeTrip{}.add(120, {}).take();
  s.finding.trip.warm_ups = {{0.0, 20.0, 570.0, {}, {}, {}, {}}};
  s.finding.trip.distance_km = 19.98;
  s.recording = recording_for(s.finding.trip);
  s.recording.clock = {ClockKind::absolute, 1930000000.0, 60};
  s.recording.how.format = "csv";
  s.recording.how.delimiter = "comma";
  s.recording.how.clock = "seconds";
  s.recording.how.columns = {{Role::coolant, "ECT", 2, "°C", "heading"},
                             {Role::load, "Load", 3, "%", "assumed"},
                             {Role::rpm, "RPM", 4, "rpm", "heading"}};
  s.recording.how.set_aside = {{"no time", 2, 17, 18}};
  s.finding.band = made_band();
  s.finding.judgement = small_judgement();
  return s;
}

std::string text_of(const Small& s, const TextStyle& style = {}) {
  return render_text({s.recording, s.finding, s.profile, {{"look"}, {"hot"}}}, style);
}

Json json_of(const Small& s, int indent = -1) {
  return Json::parse(render_json({s.recording, s.finding, s.profile, {{"look"}, {"hot"}}}, indent));
}

std::vector<std::string> keys(const Json& json) {
  std::vector<std::string> names;
  for (const auto& [key, value] : json.items()) names.push_back(key);
  return names;
}

/// True when `wanted` stand in `all` in this order; others may stand between.
bool in_order(const std::vector<std::string>& all, const std::vector<std::string>& wanted) {
  std::size_t next = 0;
  for (const std::string& key : all) {
    if (next < wanted.size() && key == wanted[next]) ++next;
  }
  return next == wanted.size();
}

} // namespace

TEST_CASE("the text report of a small trip") {
  CHECK(text_of(small()) ==
        "VERDICT    the thermostat hangs open\n"
        "           thermostat stuck open (likely, 73 %); service: have it checked\n"
        "TRIP       made.csv, 2031-02-28T00:06:40+01:00, 20 min, 20.0 km, every 1 s\n"
        "VEHICLE    V\n"
        "\n"
        "DO NEXT    1. look\n"
        "WHY        -  below the band\n"
        "OR         no fault 18 %\n"
        "\n"
        "EPISODES   from   to     side   reading  off by   put down to\n"
        "           10:00  14:59  below  70.0 °C  -10.0 K  thermostat stuck open\n"
        "NORMAL     80.0 °C, 77.5 to 82.5, learned from 10 drives\n"
        "RUNNING    20 min judged, 75 % normal; nine tenths 70.0 to 81.0 °C, median 80.0\n"
        "BOILING    hottest 82.0 °C; boils at 120.0 °C, so 38.0 K were left\n"
        "WARM-UP    from 20.0 °C at 0:00: regulated after 9 min 30 s\n"
        "REGULATION warm enough by the rule for on-board diagnosis: held 71.5 °C, at\n"
        "           least 65.0 °C is needed (11 °C below the rating of 76.0 °C)\n"
        "NEEDLE     a dash needle would have hidden it: it stands still from 70 to 90 °C\n"
        "CODES      SAE J2012 P0128, SAE J1939 SPN 110 FMI 17\n"
        "NOT KNOWN  -  no altitude\n"
        "CAUTION    hot\n"
        "READ AS    csv; coolant = 'ECT' [°C]; load = 'Load' [%, assumed]; 1 other by\n"
        "           heading\n"
        "SET ASIDE  -  2 rows: no time (first: row 17, line 18)\n");
}

TEST_CASE("no line of the text is wider than asked for") {
  for (const int width : {40, 60, 80, 120}) {
    const Small s = small();
    const std::string text = text_of(s, {width, false});
    std::size_t from = 0;
    while (from < text.size()) {
      const std::size_t end = text.find('\n', from);
      std::size_t columns = 0;
      for (std::size_t i = from; i < end; ++i)
        columns += (static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U ? 1U : 0U;
      CHECK(columns <= static_cast<std::size_t>(width));
      from = end + 1;
    }
  }
}

TEST_CASE("of many limits the first are told, the rest on request") {
  Small s = small();
  s.finding.judgement.limits = {"one", "two", "three", "four", "five"};
  CHECK(text_of(s).find("-  five\n") != std::string::npos); // a line is not saved by a line
  s.finding.judgement.limits.emplace_back("six");
  const std::string text = text_of(s);
  CHECK(text.find("-  four\n           and 2 more (all with --explain)\n") != std::string::npos);
  CHECK(text.find("five") == std::string::npos);
  CHECK(render_text({s.recording, s.finding, s.profile, {}, true}, {}).find("-  six\n") !=
        std::string::npos);
}

TEST_CASE("however much there is to say, it fits a screen, and nothing is left out unsaid") {
  Small s = small();
  Judgement& j = s.finding.judgement;
  j.reasons = {"first", "second", "third", "fourth", "fifth", "sixth"};
  j.limits.assign(12, "something that this log cannot show, in as many words as it usually takes");
  j.episodes.assign(30, j.episodes.front());
  const Advice advice{{"one", "two", "three", "four", "five"}, {"hot", "poison"}};
  const TripReport report{s.recording, s.finding, s.profile, advice};
  const std::string text = render_text(report, {});
  CHECK(std::count(text.begin(), text.end(), '\n') <= 45);
  CHECK(text.find("-  first\n") != std::string::npos);
  CHECK(text.find("5. five\n") != std::string::npos);
  CHECK(text.find("CAUTION    hot; poison\n") != std::string::npos);
  const auto more = text.find(" more (all with --explain)");
  CHECK(more != std::string::npos);
}

TEST_CASE("a narrow terminal is told less, but what to do and what to beware of in full") {
  Small s = small();
  Judgement& j = s.finding.judgement;
  const std::string sentence = "a sentence of about as many words as such a line usually has";
  j.reasons.assign(6, sentence);
  j.limits.assign(12, sentence);
  j.episodes.assign(30, j.episodes.front());
  const Advice advice{{"one " + sentence, "two " + sentence, "three " + sentence, "four"},
                      {"hot", "poison"}};
  const TripReport report{s.recording, s.finding, s.profile, advice};
  for (const auto& [width, most] : {std::pair{60, 50}, std::pair{40, 60}}) {
    const std::string text = render_text(report, {width});
    INFO(text);
    CHECK(std::count(text.begin(), text.end(), '\n') <= most);
    for (const char* whole : {"the thermostat hangs open\n", "1. one a", "4. four\n",
                              "hot; poison\n", "service:", " more (all with --explain)"})
      CHECK(text.find(whole) != std::string::npos);
  }
}

TEST_CASE("where the terminal knows ASCII only, the report has nothing else") {
  Small s = small();
  s.finding.judgement.headline = "ran at 66 °C – by 2 ± 1 K, Größe";
  const std::string text = text_of(s, {80, false, true});
  CHECK(std::all_of(text.begin(), text.end(), [](char c) { return c > 0; }));
  CHECK(text.find("ran at 66 C - by 2 +/- 1 K, Gr??e\n") != std::string::npos);
  CHECK(text.find("below  70.0 C   -10.0 K") != std::string::npos);
}

TEST_CASE("a job card's fields stand in the text and, with their types, in the JSON") {
  const Small s = small();
  TripReport report{s.recording, s.finding, s.profile, {}};
  CHECK(Json::parse(render_json(report, -1)).contains("job") == false);
  report.job = {{"number", "A-12"}, {"odometer_km", std::int64_t{142000}}, {"bay_no", 2.5}};
  CHECK(render_text(report, {}).find("JOB        number A-12; odometer 142000 km; bay no 2.5\n") !=
        std::string::npos);
  const Json json = Json::parse(render_json(report, -1));
  CHECK(json["job"].dump() == R"({"number":"A-12","odometer_km":142000,"bay_no":2.5})");
  CHECK(in_order(keys(json), {"vehicle", "job", "trip"}));
}

TEST_CASE("the criterion is a line and a key of its own, with the reasons where it is open") {
  Small s = small();
  const Json met = json_of(s)["regulation"]["criterion"];
  CHECK(met.dump() == R"({"nominal_c":76.0,"nominal_from":"rating","limit_c":65.0,)"
                      R"("reached_c":71.5,"outcome":"met","because":[]})");
  s.finding.judgement.regulation.outcome = CriterionOutcome::below;
  CHECK(text_of(s).find("REGULATION TOO COLD by the rule for on-board diagnosis: held 71.5 °C") !=
        std::string::npos);
  s.finding.judgement.regulation = {};
  s.finding.judgement.regulation.because = {"too cold", "too short"};
  CHECK(
      text_of(s, {120}).find("REGULATION cannot be judged by the rule for on-board diagnosis: too "
                             "cold; too short\n") != std::string::npos);
  CHECK(json_of(s)["regulation"]["criterion"]["nominal_c"].is_null());
  CHECK(json_of(s)["regulation"]["criterion"]["outcome"] == "not-evaluated");
}

TEST_CASE("what speaks against a rival is told with the explanation") {
  Small s = small();
  CHECK(render_text({s.recording, s.finding, s.profile, {}, true}, {})
            .find("OR         -  no fault 18 %: against it, too low\n") != std::string::npos);
  s.finding.judgement.causes[2].probability = 0.04;
  CHECK(text_of(s).find("OR         no fault 18 %, sensor fault 4 %\n") != std::string::npos);
  s.finding.judgement.action = Action::stop; // what stops a vehicle is not offered as normal
  CHECK(text_of(s).find("OR         sensor fault 4 %\n") != std::string::npos);
}

TEST_CASE("the report's keys stand in the order of the contract") {
  const Json json = json_of(small());
  CHECK(in_order(keys(json), {"schema", "tool", "vehicle", "trip", "import", "band", "verdict",
                              "causes", "episodes", "warm_ups", "regulation", "gauge", "codes",
                              "next_steps", "cautions"}));
  CHECK(json["schema"] == "coolband.report/1");
  CHECK(in_order(keys(json["trip"]), {"source", "start", "end", "duration_s", "rows", "rows_used",
                                      "sample_period_s", "distance_km"}));
  CHECK(in_order(keys(json["import"]), {"format", "columns", "set_aside", "notes"}));
  CHECK(in_order(keys(json["band"]),
                 {"origin", "drives", "centre_c", "spread_c", "load_c_per_pct", "ambient_c_per_c",
                  "reference", "opens_c", "lower_c", "upper_c"}));
  CHECK(in_order(keys(json["verdict"]),
                 {"condition", "confidence", "action", "headline", "reasons", "limits"}));
  CHECK(in_order(keys(json["causes"][0]),
                 {"condition", "probability", "for", "against", "confirm_by"}));
  CHECK(in_order(keys(json["episodes"][0]),
                 {"start_s", "end_s", "start", "end", "first_row", "last_row", "direction",
                  "extreme_c", "worst_deviation_c", "mean_deviation_c", "cause", "confidence",
                  "explained_by"}));
  CHECK(in_order(keys(json["warm_ups"][0]),
                 {"start_s", "from_c", "reached_regulation_s", "expected_s", "opened_at_c"}));
  CHECK(in_order(keys(json["regulation"]), {"share_in_band", "median_c", "p05_c", "p95_c",
                                            "hottest_c", "boiling_point_c", "boiling_margin_c"}));
  CHECK(in_order(keys(json["gauge"]), {"hidden_from_dash_needle", "note"}));
  CHECK(in_order(keys(json["codes"][0]), {"system", "code", "title", "why"}));
}

TEST_CASE("the JSON says what the finding says") {
  const Json json = json_of(small());
  CHECK(json["verdict"]["condition"] == "thermostat-stuck-open");
  CHECK(json["verdict"]["confidence"] == 0.735);
  CHECK(json["episodes"][0]["start"] == "2031-02-28T00:16:40+01:00");
  CHECK(json["episodes"][0]["first_row"] == 601); // rows of the input count from 1
  CHECK(json["episodes"][0]["explained_by"].is_null());
  CHECK(json["gauge"]["hidden_from_dash_needle"] == true);
  CHECK(json["band"]["lower_c"] == 77.5);
  CHECK(json["warm_ups"][0]["reached_regulation_s"] == 570.0);
}

TEST_CASE("what is not known is null, and no number is infinite") {
  Small s = small();
  s.recording.clock = {};
  s.finding.trip.distance_km.reset();
  s.finding.band.reset();
  s.finding.judgement.share_in_band.reset();
  s.finding.judgement.boiling = {};
  s.finding.judgement.episodes[0].mean_deviation_c = std::numeric_limits<double>::quiet_NaN();
  s.finding.judgement.median_c = std::numeric_limits<double>::infinity();
  s.finding.trip.warm_ups[0].reached_s.reset();
  const Json json = json_of(s);
  CHECK(json["trip"]["start"].is_null());
  CHECK(json["trip"]["distance_km"].is_null());
  CHECK(json["vehicle"]["id"].is_null());
  CHECK(json["band"]["centre_c"].is_null());
  CHECK(json["band"]["lower_c"].is_null());
  CHECK(json["regulation"]["share_in_band"].is_null());
  CHECK(json["regulation"]["median_c"].is_null());
  CHECK(json["regulation"]["boiling_point_c"].is_null());
  CHECK(json["episodes"][0]["mean_deviation_c"].is_null());
  CHECK(json["episodes"][0]["ambient_c"].is_null());
  CHECK(json["warm_ups"][0]["reached_regulation_s"].is_null());
}

TEST_CASE("one line or many, the JSON is the same") {
  const Small s = small();
  const TripReport report{s.recording, s.finding, s.profile, {}};
  const std::string line = render_json(report, -1);
  CHECK(line.find('\n') == std::string::npos);
  const std::string indented = render_json(report, 2);
  CHECK(indented.find("\n  \"tool\"") != std::string::npos);
  CHECK(Json::parse(line) == Json::parse(indented));
}

TEST_CASE("bytes that are no UTF-8 do not break the JSON") {
  Small s = small();
  s.recording.how.columns[0].heading = "ECT \xB0"
                                       "C";
  CHECK(json_of(s)["import"]["columns"][0]["heading"].get<std::string>().find("ECT ") == 0);
}

TEST_CASE("the profile's own fields are carried into the report") {
  Small s = small();
  const auto profile = parse_profile(
      R"({"schema": "coolband.vehicle/1", "id": "W", "label": "van", "paint": "green"})", "p");
  REQUIRE(profile);
  s.profile = *profile;
  const Json json = json_of(s);
  CHECK(keys(json["vehicle"]).front() == "id");
  CHECK(json["vehicle"]["id"] == "W");
  CHECK(json["vehicle"]["paint"] == "green");
  s.profile->json.clear(); // a profile made in code has no file behind it
  CHECK(json_of(s)["vehicle"]["id"] == "W");
}

TEST_CASE("the needle hides what stays between 70 and 90, and nothing hides where nothing is") {
  Judgement j = small_judgement();
  CHECK(*hidden_from_dash_needle(j));
  j.episodes[0].extreme_c = 69.0;
  CHECK_FALSE(*hidden_from_dash_needle(j));
  j.episodes[0].explained_by = Explanation::cold_weather;
  CHECK_FALSE(hidden_from_dash_needle(j));
}
