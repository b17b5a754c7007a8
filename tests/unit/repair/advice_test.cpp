// SPDX-License-Identifier: Apache-2.0
// What a person is told to do next, in order, and warned of.
#include "coolband/repair/advice.hpp"

#include "support/texts.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

Judgement judged(Condition condition, Action action) {
  Judgement j;
  j.condition = condition;
  j.action = action;
  j.causes = {{condition, 0.8, {}, {}, {"check " + std::string(name_of(condition))}},
              {Condition::sensor_fault, 0.2, {}, {}, {"check the sensor"}}};
  return j;
}

} // namespace

TEST_CASE("a normal trip with a learned band needs nothing") {
  const NormalBand band = made_band();
  const Advice advice = advise(judged(Condition::normal, Action::none), &band);
  CHECK(advice.next_steps.empty());
  CHECK(advice.cautions.empty());
}

TEST_CASE("checks come before parts, and proof after them") {
  const NormalBand band = made_band();
  const Advice advice = advise(judged(Condition::thermostat_stuck_open, Action::service), &band);
  REQUIRE(advice.next_steps.size() == 3);
  CHECK(advice.next_steps[0] == "check thermostat-stuck-open");
  CHECK(advice.next_steps[1].find("if confirmed: new thermostat") == 0);
  CHECK(advice.next_steps[2].find("after the work, log 5 drives or more like this one") == 0);
  CHECK(mentions(advice.next_steps, "check them by the band:"));
}

TEST_CASE("stopping comes first, and cold water is warned of") {
  const Advice advice = advise(judged(Condition::overheating, Action::stop), nullptr);
  CHECK(advice.next_steps.front().find("stop at the next safe place") == 0);
  CHECK(advice.cautions.front().find("do not drive on") == 0);
}

TEST_CASE("whoever may open a hot system is warned, except where there is nothing to do") {
  for (const Action action : {Action::monitor, Action::service, Action::stop})
    CHECK(mentions(advise(judged(Condition::thermostat_sticking, action), nullptr).cautions,
                   "never open a hot cooling system"));
  CHECK(mentions(advise(judged(Condition::normal, Action::monitor), nullptr).cautions,
                 "never open a hot cooling system"));
}

TEST_CASE("a sensor fault replaces no cooling part") {
  Judgement j = judged(Condition::sensor_fault, Action::service);
  const Advice advice = advise(j, nullptr);
  CHECK(mentions(advice.next_steps, "repair the wiring or replace the sensor"));
  CHECK_FALSE(mentions(advice.next_steps, "new thermostat"));
}

TEST_CASE("without a verdict the check of what is most likely a fault is still worth doing") {
  Judgement j = judged(Condition::undetermined, Action::monitor);
  j.causes[0] = {Condition::thermostat_stuck_open, 0.6, {}, {}, {"look into the upper hose"}};
  CHECK(mentions(advise(j, nullptr).next_steps, "look into the upper hose"));
  j.causes[0].condition = Condition::normal; // the rival is not worth a check then
  CHECK_FALSE(mentions(advise(j, nullptr).next_steps, "check the sensor"));
}

TEST_CASE("without a verdict it says which drive would give one") {
  Judgement j = judged(Condition::undetermined, Action::monitor);
  j.causes[0].condition = Condition::normal;
  const Advice advice = advise(j, nullptr);
  CHECK(mentions(advice.next_steps, "log a drive that can tell"));
  CHECK(mentions(advice.next_steps, "learn this vehicle's own band"));
  CHECK_FALSE(mentions(advice.next_steps, "after the work"));
}
