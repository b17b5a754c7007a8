// SPDX-License-Identifier: Apache-2.0
// One line an event, for a person and as JSON.
#include "report/watch_line.hpp"

#include "coolband/import/import_log.hpp"

#include <doctest/doctest.h>
#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <string>

using namespace coolband;

namespace {

/// A log of twenty minutes at 80 °C, and what is found in it.
struct Scene {
  Recording recording;
  TripFinding finding;
  std::optional<VehicleProfile> profile;

  explicit Scene(const std::string& start = "") {
    std::string text = "time,coolant_c,rpm\n";
    for (int i = 0; i < 600; ++i)
      text += start.empty() ? fmt::format("{},80,2000\n", 2 * i)
                            : fmt::format("{}{:02}:{:02},80,2000\n", start, 2 * i / 60, 2 * i % 60);
    auto read = import_text(text, "log.csv");
    REQUIRE(read);
    recording = std::move(*read);
    finding = analyse(recording, std::nullopt, profile).front();
  }

  [[nodiscard]] WatchEvent event(WatchMoment moment, Standing standing) const {
    return {moment, recording, finding, profile, standing, {}, std::nullopt, 3, 100, 0};
  }
};

Heat heat() {
  Heat made;
  made.coolant_c = 112.0;
  made.rate_k_per_min = 6.04;
  made.spent = 0.66;
  made.boils_in_s = 163.0;
  return made;
}

std::string line(const WatchEvent& event, TextStyle style = {}) {
  return render_watch_line(event, style);
}

constexpr Standing k_normal{Condition::normal, Action::none};
constexpr Standing k_stop{Condition::overheating, Action::stop};

} // namespace

TEST_CASE("when, what it calls for, what it is") {
  const Scene scene;
  const std::string change = line(scene.event(WatchMoment::change, k_normal));
  CHECK(change.starts_with("0:19:58  none      normal"));
  CHECK(std::count(change.begin(), change.end(), '\n') == 1);
  CHECK(change.find("do:") == std::string::npos);
  const std::string end = line(scene.event(WatchMoment::trip_end, k_normal));
  CHECK(end.starts_with("0:19:58  ended     trip 3, 20 min: none: normal"));
  CHECK(line(scene.event(WatchMoment::begin, k_normal))
            .starts_with("0:19:58  watching  log.csv: csv"));
}

TEST_CASE("a log with a clock is told in its own time") {
  CHECK(line(Scene("2031-05-06T08:").event(WatchMoment::change, k_normal))
            .starts_with("2031-05-06T08:19:58  none"));
}

TEST_CASE("an alarm says how hot, how fast, how long, and what to do") {
  const Scene scene;
  WatchEvent event = scene.event(WatchMoment::change, k_stop);
  event.heat = heat();
  const std::string text = line(event);
  CHECK(text.starts_with(
      "0:19:58  STOP      overheating: 112.0 °C, rising 6.0 K a minute, 66 % of the "
      "way from normal to boiling ("));
  CHECK(text.find("there in 2 min 43 s at this rate; do: stop at the next safe place") !=
        std::string::npos);
  CHECK(text.ends_with("never open a hot cooling system, it scalds\n"));
  event.heat->rate_k_per_min = -2.0;
  event.heat->boils_in_s.reset();
  CHECK(heat_words(*event.heat, 128.0) ==
        "112.0 °C, falling 2.0 K a minute, 66 % of the way from normal to boiling (128 °C)");
}

TEST_CASE("what stands without being what was judged last says so") {
  const Scene scene;
  const WatchEvent event =
      scene.event(WatchMoment::change, {Condition::radiator_restricted, Action::service});
  CHECK(watch_headline(event) == "the reading is back, and it stands as before");
}

TEST_CASE("a finding without a name sends to somebody who looks") {
  Scene scene;
  scene.finding.judgement.condition = Condition::undetermined;
  const auto steps =
      watch_steps(scene.event(WatchMoment::change, {Condition::undetermined, Action::service}));
  CHECK(steps.front().starts_with("spare the engine"));
}

TEST_CASE("colour, plain characters and control characters") {
  Scene scene;
  TextStyle style;
  style.colour = true;
  CHECK(line(scene.event(WatchMoment::change, k_stop), style).find("\x1b[1;7mSTOP    \x1b[0m") !=
        std::string::npos);
  style.colour = false;
  style.ascii = true;
  scene.finding.judgement.headline = "normal at 80 °C\x1b[31m\nno";
  const std::string text = line(scene.event(WatchMoment::change, k_normal), style);
  CHECK(text.find("normal at 80 C?[31m?no") != std::string::npos);
}

TEST_CASE("JSON: keys in order, rows of the log, null for what is not known") {
  const Scene scene;
  WatchEvent event = scene.event(WatchMoment::change, k_stop);
  event.heat = heat();
  const std::string text = render_watch_json(event);
  CHECK(text.ends_with("}\n"));
  CHECK(std::count(text.begin(), text.end(), '\n') == 1);
  const auto json = nlohmann::ordered_json::parse(text);
  CHECK(json["schema"] == "coolband.watch/1");
  CHECK(json["event"] == "change");
  CHECK(json["trip"]["number"] == 3);
  CHECK(json["trip"]["at_row"] == 700);
  CHECK(json["trip"]["rows_set_aside"] == 0);
  CHECK(json["trip"]["start"].is_null());
  CHECK(json["before"]["condition"] == "undetermined");
  CHECK(json["raised_by"] == "last-readings");
  CHECK(json["reading"]["margin_spent"] == 0.66);
  CHECK(json["verdict"]["confidence"].is_null());
  CHECK(json["next_steps"][0].get<std::string>().starts_with("stop at the next safe place"));
  CHECK_FALSE(json["cautions"].empty());
  const auto end = nlohmann::ordered_json::parse(
      render_watch_json(scene.event(WatchMoment::trip_end, k_normal)));
  CHECK(end["before"].is_null());
  CHECK(end["raised_by"] == "judgement");
  CHECK(end["reading"]["rate_k_per_min"].is_null());
}
