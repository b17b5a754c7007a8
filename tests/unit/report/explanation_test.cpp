// SPDX-License-Identifier: Apache-2.0
// The chain of reasons: each episode's rows and numbers, evidence, hypotheses, causes.
#include "report/confidence_words.hpp"
#include "report/explanation.hpp"

#include "support/texts.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Json = nlohmann::ordered_json;

struct ExplainedTrip {
  Recording recording;
  TripFinding finding;
  std::optional<VehicleProfile> profile;

  [[nodiscard]] TripReport report() const { return {recording, finding, profile, {}, true}; }
};

Episode cold_episode() {
  Episode episode;
  episode.start_s = 600.0;
  episode.end_s = 899.0;
  episode.first_row = 600;
  episode.last_row = 899;
  episode.extreme_c = 63.0;
  episode.worst_deviation_c = -17.5;
  episode.mean_deviation_c = -12.1;
  episode.threshold_c = 3.5;
  episode.logged_s = 300.0;
  episode.load_pct = 44.0;
  episode.speed_kmh = 71.0;
  episode.expected_c = 80.6;
  episode.observed_c = 68.5;
  episode.sound_c = 79.9;
  episode.cause = Condition::thermostat_stuck_open;
  episode.confidence = 0.87;
  return episode;
}

ExplainedTrip explained_trip() {
  ExplainedTrip s;
  s.finding.trip = MadeTrip{}.add(120, {80.0F, 35.0F, 60.0F, k_not_logged}).take();
  s.recording = recording_for(s.finding.trip);
  s.finding.band = made_band();
  Judgement& j = s.finding.judgement;
  j.condition = Condition::thermostat_stuck_open;
  j.confidence = 0.82;
  j.episodes = {cold_episode()};
  j.evidence = {{"low", {0.01, 0.5, 0.02, 0.2, 0.01, 0.01, 0.01, 0.05, 0.1}},
                {"smooth", {0.9, 0.9, 0.9, 0.9, 0.9, 0.9, 0.9, 0.9, 0.8}}};
  j.causes = {{Condition::thermostat_stuck_open, 0.9, {"low"}, {}, {}},
              {Condition::normal, 0.0996, {}, {"low"}, {}},
              {Condition::sensor_fault, 0.0004, {"low"}, {}, {}}};
  j.hypotheses = {{Condition::thermostat_stuck_open, "it does not shut below 30 %", 0.6, 45.2, 0.8},
                  {Condition::normal, "a sound vehicle", 3.1, 0.0, 1.0}};
  return s;
}

std::string text_of(const ExplainedTrip& s, int width = 80) {
  Page page({width, false, false});
  add_explanation(page, s.report());
  return page.take();
}

} // namespace

TEST_CASE("the chain of reasons as a person reads it") {
  CHECK(text_of(explained_trip()) ==
        "\n"
        "HOW THE VERDICT CAME ABOUT\n"
        "EPISODE 1  rows: made.csv:601..900 (lines 602 to 901)\n"
        "           time: 10:00 to 14:59, 4 min 59 s\n"
        "           conditions: load 44 %, outside not logged, road speed 71 km/h\n"
        "           band expected: 80.6 °C on average; an excursion begins 3.5 K off\n"
        "           sound circuit: 79.9 °C on average\n"
        "           observed: 68.5 °C on average, 63.0 °C at the farthest; -12.1 K on\n"
        "           average, -17.5 K at the worst\n"
        "           put down to: thermostat-stuck-open, confidence 87 %\n"
        "EVIDENCE   -  low; for thermostat-stuck-open, sensor-fault; against normal\n"
        "           -  smooth; hardly tells the causes apart\n"
        "CIRCUIT    accounts of the trip by the thermal circuit, best first; log evidence\n"
        "           is beyond that of the sound vehicle, above 0 speaks for the account\n"
        "           -  thermostat-stuck-open: it does not shut below 30 %; misfit 0.60 K,\n"
        "              log evidence +45.2, at work 80 % of the time\n"
        "           -  normal: a sound vehicle; misfit 3.10 K, log evidence 0.0\n"
        "CAUSES     1. thermostat-stuck-open 90.0 %\n"
        "           2. normal 10.0 %\n"
        "           3. sensor-fault below 0.1 %\n"
        "           The verdict says 82 %, not 90.0 %: these shares only weigh the causes\n"
        "           against each other on this trip; the verdict also counts how far what\n"
        "           it was judged by can be trusted (a normal learned from 10 drives).\n");
}

TEST_CASE("why the verdict is less sure than its cause is told where it is, and only there") {
  ExplainedTrip s = explained_trip();
  Judgement& j = s.finding.judgement;
  s.finding.band->origin = BandOrigin::profile;
  CHECK(says(shares_note(s.finding), "(the profile, with nothing learned)"));
  s.finding.band->origin = BandOrigin::trip;
  CHECK(says(shares_note(s.finding), "(this trip itself, with nothing else known)"));
  j.confidence = 0.895;
  CHECK(shares_note(s.finding) == "");
  j.confidence = 0.5;
  j.condition = Condition::overheating; // not the first of the causes
  CHECK(shares_note(s.finding) == "");
  j.condition = Condition::thermostat_stuck_open;
  CHECK(shares_note(s.finding) != "");
  s.finding.band.reset();
  CHECK(shares_note(s.finding) == "");
}

TEST_CASE("what is not known is said, and nothing is made up for it") {
  ExplainedTrip s = explained_trip();
  s.finding.judgement.episodes[0].expected_c.reset();
  s.finding.judgement.episodes[0].observed_c.reset();
  s.finding.judgement.episodes[0].sound_c.reset();
  s.finding.judgement.evidence.clear();
  s.finding.judgement.hypotheses.clear();
  const std::string text = text_of(s);
  CHECK(says(text, "band expected: an excursion begins 3.5 K off\n"));
  CHECK(says(text, "sound circuit: not known\n"));
  CHECK(says(text, "observed: 63.0 °C at the farthest;"));
  CHECK(says(text, "EVIDENCE   -  none\n"));
  CHECK(says(text, "CIRCUIT    the thermal circuit could not be held against this trip\n"));
  const Json json = explanation_json(s.report());
  CHECK(json["episodes"][0]["expected_c"].is_null());
  CHECK(json["episodes"][0]["sound_c"].is_null());
  CHECK(json["evidence"].empty());
  CHECK(json["hypotheses"].empty());
  s.finding.judgement.episodes.clear();
  CHECK(says(text_of(s), "EPISODES   none\n"));
}

TEST_CASE("what an episode is put down to") {
  ExplainedTrip s = explained_trip();
  Episode& episode = s.finding.judgement.episodes[0];
  episode.explained_by = Explanation::cold_weather;
  CHECK(says(text_of(s), "put down to: explained by cold-weather: no fault\n"));
  episode.explained_by = Explanation::none;
  episode.cause = Condition::undetermined;
  CHECK(says(text_of(s), "put down to: no cause could be named\n"));
  episode.direction = Direction::erratic;
  CHECK(says(text_of(s), "band expected: nothing: the reading is no coolant\n"));
  CHECK(says(text_of(s), "63.0 °C at the farthest\n"));
}

TEST_CASE("conditions that an episode does not carry are taken from its blocks") {
  ExplainedTrip s = explained_trip();
  s.finding.judgement.episodes[0].load_pct.reset();
  s.finding.trip.blocks.load[75] = 95.0F; // one of thirty within the episode
  s.finding.trip.blocks.load[20] = 95.0F; // outside
  CHECK(says(text_of(s), "conditions: load 37 %, outside not logged, road speed 71 km/h\n"));
}

TEST_CASE("an episode carries its instants where the log has a clock") {
  ExplainedTrip s = explained_trip();
  s.recording.clock = {ClockKind::absolute, 1930000000.0, 0};
  CHECK(says(text_of(s), "time: 10:00 to 14:59 (2031-02-27T"));
}

TEST_CASE("no line of the explanation is wider than asked for") {
  for (const int width : {40, 60, 80, 120}) {
    const std::string text = text_of(explained_trip(), width);
    for (std::size_t from = 0; from < text.size();) {
      const std::size_t end = text.find('\n', from);
      CHECK(display_width(text.substr(from, end - from)) <= static_cast<std::size_t>(width));
      from = end + 1;
    }
  }
}

TEST_CASE("the same as keys") {
  const Json json = explanation_json(explained_trip().report());
  const Json& episode = json["episodes"][0];
  CHECK(episode["rows"].dump() == R"({"source":"made.csv","first_row":601,"last_row":900,)"
                                  R"("first_line":602,"last_line":901})");
  CHECK(episode["expected_c"] == 80.6);
  CHECK(episode["observed_c"] == 68.5);
  CHECK(episode["sound_c"] == 79.9);
  CHECK(episode["threshold_k"] == 3.5);
  const Json& low = json["evidence"][0];
  CHECK(low["for"] == Json({"thermostat-stuck-open", "sensor-fault"}));
  CHECK(low["against"] == Json::array({"normal"}));
  CHECK(low["likelihood"].size() == k_cause_count);
  CHECK(low["likelihood"]["thermostat-stuck-open"] == 0.5);
  CHECK(json["evidence"][1]["for"].empty());
  CHECK(json["hypotheses"][0].dump() ==
        R"({"condition":"thermostat-stuck-open","what":"it does not shut below 30 %",)"
        R"("misfit_k":0.6,"log_evidence":45.2,"active_share":0.8})");
}

TEST_CASE("only a report that is to explain has the chain") {
  const ExplainedTrip s = explained_trip();
  TripReport report = s.report();
  CHECK(Json::parse(render_json(report, -1)).contains("explanation"));
  CHECK(says(render_text(report, {}), "HOW THE VERDICT CAME ABOUT"));
  report.explain = false;
  CHECK_FALSE(Json::parse(render_json(report, -1)).contains("explanation"));
  CHECK_FALSE(says(render_text(report, {}), "HOW THE VERDICT CAME ABOUT"));
}
