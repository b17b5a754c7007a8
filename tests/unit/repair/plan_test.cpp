// SPDX-License-Identifier: Apache-2.0
// A whole job: what it is for, what it holds, what it warns of.
#include "repair/plan.hpp"

#include "support/texts.hpp"
#include "unit/repair/made_reports.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;
using namespace coolband::testing;

namespace {

JobPlan planned(const ReportedTrip& trip, const JobOptions& options = {}) {
  return plan_job({trip}, options).value();
}

bool warns(const JobPlan& plan, Hazard hazard) {
  return std::find(plan.cautions.begin(), plan.cautions.end(), hazard) != plan.cautions.end();
}

} // namespace

TEST_CASE("a named fault is confirmed, then mended, then proved") {
  const JobPlan plan = planned(with_profile(stuck_open_report(), k_whole_profile));
  CHECK(plan.purpose == JobPurpose::repair);
  CHECK(plan.cause == Condition::thermostat_stuck_open);
  CHECK(plan.checks.checks.size() >= 3);
  CHECK(mentions(plan.work.steps, "new thermostat"));
  CHECK(mentions(plan.bleeding, "inlet"));
  CHECK(plan.proof.drives == 5); // one of one: Jeffreys leaves 4.1 % after five
  CHECK(plan.missing.empty());
  CHECK(plan.costs == std::nullopt);
}

TEST_CASE("a cause found by hand is planned for, whatever the report says") {
  JobOptions options;
  options.confirmed = Condition::radiator_restricted;
  const JobPlan plan = planned(
      made_report(Condition::normal, 0.9, Action::none, {{Condition::normal, 1.0}}), options);
  CHECK(plan.purpose == JobPurpose::repair);
  CHECK(plan.checks.checks.empty());
  CHECK(mentions(plan.work.steps, "core"));
}

TEST_CASE("overheating without a name is looked into, not mended") {
  const JobPlan plan = planned(
      made_report(Condition::overheating, 0.5, Action::stop,
                  {{Condition::coolant_flow_low, 0.5}, {Condition::radiator_restricted, 0.5}}));
  CHECK(plan.purpose == JobPurpose::find);
  CHECK(plan.work.steps.empty());
  CHECK(plan.parts.empty());
  CHECK(warns(plan, Hazard::driving_on));
  CHECK_FALSE(plan.proof.drives);
}

TEST_CASE("an open question with a likely fault is looked into, one without is driven again") {
  const auto undetermined = [](double fault) {
    return made_report(Condition::undetermined, 0.0, Action::monitor,
                       {{Condition::normal, 1.0 - fault}, {Condition::fan_not_cooling, fault}});
  };
  CHECK(planned(undetermined(0.4)).purpose == JobPurpose::find);
  const JobPlan plan = planned(undetermined(0.1));
  CHECK(plan.purpose == JobPurpose::watch);
  CHECK(plan.checks.checks.size() >= 4);
  CHECK(plan.proof.minutes > 30.0);
  CHECK_FALSE(warns(plan, Hazard::lifting));
}

TEST_CASE("a normal trip gets checks that cost nothing, and no work") {
  const JobPlan plan =
      planned(made_report(Condition::normal, 0.9, Action::none, {{Condition::normal, 0.99}}));
  CHECK(plan.purpose == JobPurpose::watch);
  CHECK_FALSE(plan.cause);
  CHECK(plan.parts.empty());
  for (const PlannedCheck& planned_check : plan.checks.checks)
    CHECK(planned_check.check.tools.empty());
}

TEST_CASE("what a profile would tell is asked for, only where the job needs it") {
  const JobPlan plan = planned(stuck_open_report());
  CHECK(mentions(plan.missing, "thermostat.opens_c"));
  CHECK(mentions(plan.missing, "cooling.capacity_l"));
  JobOptions options;
  options.confirmed = Condition::fan_not_cooling;
  const JobPlan fan = planned(stuck_open_report(), options);
  CHECK_FALSE(mentions(fan.missing, "cooling.capacity_l"));
}

TEST_CASE("cautions belong to the work: each once, the maker's procedure always") {
  const JobPlan plan = planned(with_profile(stuck_open_report(), k_whole_profile));
  auto sorted = plan.cautions;
  CHECK(std::adjacent_find(sorted.begin(), sorted.end()) == sorted.end());
  CHECK(warns(plan, Hazard::maker_first));
  CHECK(warns(plan, Hazard::poisonous_coolant));
  CHECK_FALSE(warns(plan, Hazard::driving_on));
  JobOptions options;
  options.confirmed = Condition::fan_not_cooling;
  const JobPlan fan = planned(with_profile(stuck_open_report(), k_whole_profile), options);
  CHECK(warns(fan, Hazard::self_starting_fan));
  CHECK_FALSE(warns(fan, Hazard::poisonous_coolant));
  CHECK_FALSE(warns(fan, Hazard::cold_water));
}

TEST_CASE("the odometer of an option goes before the job card, that before the profile") {
  ReportedTrip trip = with_profile(stuck_open_report(), k_whole_profile);
  CHECK(planned(trip).facts.odometer_km == 100000.0);
  trip.job = {{"odometer_km", std::int64_t{101000}}};
  CHECK(planned(trip).facts.odometer_km == 101000.0);
  JobOptions options;
  options.odometer_km = 102000.0;
  CHECK(planned(trip, options).facts.odometer_km == 102000.0);
}

TEST_CASE("a trip that is not there, or another vehicle's, is refused") {
  JobOptions options;
  options.trip = 3;
  CHECK(plan_job({stuck_open_report()}, options).error().message.find("no trip 4") !=
        std::string::npos);
  options = {};
  options.vehicle = "someone-else";
  CHECK_FALSE(plan_job({stuck_open_report()}, options));
  options.trip = 0;
  CHECK_FALSE(plan_job({stuck_open_report()}, options));
}

TEST_CASE("several drives that showed it need fewer clean ones; a rare fault needs more") {
  const auto drives = [](std::size_t shown, std::size_t clean) {
    std::vector<ReportedTrip> trips(shown, stuck_open_report());
    trips.insert(trips.end(), clean,
                 made_report(Condition::normal, 0.9, Action::none, {{Condition::normal, 1.0}}));
    return plan_job(trips, {}).value().proof.drives.value();
  };
  CHECK(drives(4, 0) < drives(1, 0));
  CHECK(drives(1, 4) > drives(1, 0));
  CHECK(drives(4, 0) == 2);
}

TEST_CASE("what calls for service is looked into even where no cause stands out") {
  const JobPlan plan = planned(made_report(Condition::normal, 0.73, Action::service,
                                           {{Condition::normal, 0.8},
                                            {Condition::coolant_flow_low, 0.15},
                                            {Condition::fan_not_cooling, 0.05}}));
  CHECK(plan.purpose == JobPurpose::find);
  CHECK(plan.cause == Condition::coolant_flow_low);
  CHECK(plan.checks.checks.size() >= 3);
}

TEST_CASE("after overheating the next drive is one after the cure, and hot checks have an end") {
  ReportedTrip trip = made_report(Condition::overheating, 0.7, Action::stop,
                                  {{Condition::coolant_flow_low, 0.6}, {Condition::normal, 0.4}});
  trip.normal_to_c = 88.0;
  CHECK(planned(trip).facts.switch_off_c == 98.0);
  trip.boils_c = 105.0;
  const JobPlan plan = planned(trip);
  CHECK(plan.facts.switch_off_c == 90.0);
  CHECK(plan.proof.not_before.find("not before a check has found the cause") == 0);
  CHECK(planned(stuck_open_report()).proof.not_before.empty());
}

TEST_CASE("the proving run is what verify will ask for, where the report tells how it showed") {
  ReportedTrip trip = stuck_open_report();
  CHECK(mentions(planned(trip).proof.conditions, "as cold as before or colder"));
  trip.situation = Situation{Direction::below, 40.0, -4.0, 70.0, 600.0, 900.0, 8.0, 4.0};
  CHECK(
      mentions(planned(trip).proof.conditions,
               "each a drive of 30 min or more at 1 °C outside or colder, 5 min of it on end at 55 "
               "% load or less and 50 km/h or more once warm"));
}

TEST_CASE("clean drives prove no cure of what no reported drive showed") {
  JobOptions options;
  options.confirmed = Condition::coolant_flow_low;
  const ReportedTrip healthy =
      made_report(Condition::normal, 0.9, Action::none, {{Condition::normal, 1.0}});
  CHECK_FALSE(planned(healthy, options).proof.drives);
  options.share = 0.5;
  CHECK(planned(healthy, options).proof.drives == 5);
}

TEST_CASE(
    "driving on is warned of where it may end in overheating, a fan that starts where one can") {
  const auto of = [](Condition cause) {
    return made_report(cause, 0.8, Action::service, {{cause, 0.95}, {Condition::normal, 0.05}});
  };
  for (const Condition hot :
       {Condition::thermostat_stuck_closed, Condition::fan_not_cooling,
        Condition::radiator_restricted, Condition::coolant_flow_low, Condition::air_or_low_coolant})
    CHECK(warns(planned(of(hot)), Hazard::driving_on));
  CHECK_FALSE(warns(planned(of(Condition::thermostat_stuck_open)), Hazard::driving_on));
  const ReportedTrip fan = of(Condition::fan_not_cooling);
  CHECK(warns(planned(with_profile(fan, R"("cooling": {"fan": "electric"})")),
              Hazard::self_starting_fan));
  CHECK_FALSE(warns(planned(with_profile(fan, R"("cooling": {"fan": "viscous"})")),
                    Hazard::self_starting_fan));
}

TEST_CASE("where coolant is lost, the test for gas of a cylinder closes the list of checks") {
  const auto of = [](Condition cause) {
    return planned(made_report(cause, 0.8, Action::service, {{cause, 0.95}})).checks.checks;
  };
  CHECK(of(Condition::air_or_low_coolant).back().check.id == "gas-test");
  for (const PlannedCheck& check : of(Condition::thermostat_stuck_open))
    CHECK(check.check.id != "gas-test");
}
