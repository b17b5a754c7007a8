// SPDX-License-Identifier: Apache-2.0
// A job plan as text, JSON and a page.
#include "report/plan_report.hpp"

#include "report/layout.hpp"
#include "unit/repair/made_reports.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <sstream>

using namespace coolband;
using namespace coolband::testing;

namespace {

JobPlan whole_plan() {
  ReportedTrip trip = with_profile(stuck_open_report(), k_whole_profile);
  trip.job = {{"number", std::string("<4711>")}, {"odometer_km", 101000.0}};
  JobOptions options;
  options.prices = {{"thermostat", 20.0}, {"labour-hour", 60.0}};
  options.lives = {{"radiator-hose", 150000.0, 3.0, 0.0}};
  return plan_job({trip, trip}, options).value();
}

std::size_t lines_of(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

std::size_t widest_line(const std::string& text) {
  std::istringstream lines(text);
  std::size_t widest = 0;
  for (std::string line; std::getline(lines, line);) widest = std::max(widest, display_width(line));
  return widest;
}

} // namespace

TEST_CASE("the text keeps to its width and to about two screens") {
  for (const int width : {50, 80, 100}) {
    CAPTURE(width);
    const std::string text = render_plan(whole_plan(), {width, false, false});
    CHECK(widest_line(text) <= static_cast<std::size_t>(width));
    CHECK(text.find('\x1b') == std::string::npos);
  }
  CHECK(lines_of(render_plan(whole_plan(), {80, false, false})) <= 132);
}

TEST_CASE("sections come in the order of work") {
  const std::string text = render_plan(whole_plan(), {80, false, false});
  std::size_t at = 0;
  for (const char* label :
       {"JOB ", "\nCAUTIONS ", "\nCHECK ", "\nPARTS ", "\nCOST ", "\nCOOLANT ", "\nWORK ",
        "\nCOUNT OFF ", "\nBLEED ", "\nTOGETHER? ", "\nWASTE ", "\nPROVE IT "}) {
    CAPTURE(label);
    const std::size_t found = text.find(label, at);
    REQUIRE(found != std::string::npos);
    at = found;
  }
}

TEST_CASE("colour marks the headline and labels only where it is asked for") {
  CHECK(render_plan(whole_plan(), {80, true, false}).find('\x1b') != std::string::npos);
}

TEST_CASE("the JSON carries the job card and numbers as numbers") {
  const auto json = nlohmann::json::parse(render_plan_json(whole_plan(), 2));
  CHECK(json["schema"] == "coolband.plan/1");
  CHECK(json["job"]["number"] == "<4711>");
  CHECK(json["job"]["odometer_km"] == 101000.0);
  CHECK(json["vehicle"]["odometer_km"] == 101000.0);
  CHECK(json["report"]["other_alarms"] == nlohmann::json{2});
  CHECK(json["costs"]["needed"] == 20.0);
  CHECK(json["together"][0]["failure"].is_number());
  CHECK(json["proof"]["drives"]["shown"] == 2);
  CHECK(render_plan_json(whole_plan(), -1).find('\n') == std::string::npos);
}

TEST_CASE("the page holds every step, and what the user wrote is escaped") {
  const JobPlan plan = whole_plan();
  const std::string page = render_plan_html(plan);
  CHECK(page.find("&lt;4711&gt;") != std::string::npos);
  CHECK(page.find("<4711>") == std::string::npos);
  CHECK(page.find("new thermostat and seal") != std::string::npos);
  CHECK(page.find("Order of work") != std::string::npos);
  CHECK(page.find("://") == std::string::npos);
  CHECK(page.back() == '\n');
}

TEST_CASE("a plan without work has no empty sections") {
  const JobPlan plan =
      plan_job({made_report(Condition::normal, 0.9, Action::none, {{Condition::normal, 1.0}})}, {})
          .value();
  const std::string text = render_plan(plan, {80, false, false});
  CHECK(text.find("PARTS") == std::string::npos);
  CHECK(text.find("WORK") == std::string::npos);
  CHECK(text.find("NEXT DRIVE") != std::string::npos);
  CHECK(render_plan_html(plan).find("Order of work") == std::string::npos);
}
