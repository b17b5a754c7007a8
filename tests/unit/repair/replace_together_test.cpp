// SPDX-License-Identifier: Apache-2.0
// Replace now what comes off anyway, or wait?
#include "repair/replace_together.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;

namespace {

const TogetherPart& part(const std::vector<TogetherPart>& parts, const std::string& id) {
  return *std::find_if(parts.begin(), parts.end(),
                       [&](const TogetherPart& p) { return p.kind.id == id; });
}

TogetherQuestion belt_question() {
  TogetherQuestion question;
  question.lives = {{"belt", 100000.0, 3.0, 0.0}};
  question.next_km = 20000.0;
  question.odometer_km = 90000.0;
  return question;
}

} // namespace

TEST_CASE("the chance of failing next grows with age only where a part wears out") {
  CHECK(failure_within(100.0, 3.0, 150.0, 10.0) > failure_within(100.0, 3.0, 50.0, 10.0));
  CHECK(failure_within(100.0, 1.0, 150.0, 10.0) ==
        doctest::Approx(failure_within(100.0, 1.0, 0.0, 10.0)));
  CHECK(failure_within(100.0, 0.5, 150.0, 10.0) < failure_within(100.0, 0.5, 50.0, 10.0));
  CHECK(failure_within(100.0, 2.0, 0.0, 100.0) == doctest::Approx(0.632121));
  CHECK(failure_within(100.0, 2.0, 30.0, 0.0) == 0.0);
}

TEST_CASE("surviving to an age and failing after it multiply to surviving altogether") {
  const double whole = 1.0 - failure_within(200.0, 2.5, 0.0, 170.0);
  const double first = 1.0 - failure_within(200.0, 2.5, 0.0, 120.0);
  const double then = 1.0 - failure_within(200.0, 2.5, 120.0, 50.0);
  CHECK(first * then == doctest::Approx(whole));
}

TEST_CASE("a fitted part is younger than the vehicle") {
  TogetherQuestion question = belt_question();
  const double old = part(replace_together(RepairKind::flow, {}, question), "belt").failure.value();
  question.lives[0].fitted_km = 80000.0;
  const double young =
      part(replace_together(RepairKind::flow, {}, question), "belt").failure.value();
  CHECK(old == doctest::Approx(failure_within(100000.0, 3.0, 90000.0, 20000.0)));
  CHECK(young == doctest::Approx(failure_within(100000.0, 3.0, 10000.0, 20000.0)));
  CHECK(young < old);
}

TEST_CASE("an age that nobody stated is told as an assumption, one past the odometer as a slip") {
  TogetherQuestion question = belt_question();
  const auto belt = [&] { return part(replace_together(RepairKind::flow, {}, question), "belt"); };
  question.lives[0].fitted_km.reset();
  CHECK(belt().advice.find("taken to be as old as the vehicle, 90000 km") != std::string::npos);
  question.lives[0].fitted_km = 80000.0;
  CHECK(belt().advice.find("as old as the vehicle") == std::string::npos);
  question.lives[0].fitted_km = 180000.0;
  CHECK_FALSE(belt().failure);
  CHECK(belt().advice == "fitted at 180000 km, past the odometer's 90000: mend FITTED_KM");
}

TEST_CASE("with prices the cheaper way is told, by hand: 25 + 2 min against F(25 + 30 min)") {
  TogetherQuestion question = belt_question();
  question.prices = {{"belt", 25.0}, {"labour-hour", 60.0}};
  const TogetherPart belt = part(replace_together(RepairKind::flow, {}, question), "belt");
  CHECK(belt.now_cost == doctest::Approx(27.0));
  CHECK(belt.later_cost == doctest::Approx(*belt.failure * 55.0));
  CHECK(belt.advice == "cheaper to leave");
  question.prices[0].price = 5.0;
  CHECK(part(replace_together(RepairKind::flow, {}, question), "belt").advice ==
        "cheaper to replace now");
}

TEST_CASE("costs need the part's price and the hour's") {
  TogetherQuestion question = belt_question();
  for (const PartPrice& only : {PartPrice{"belt", 25.0}, PartPrice{"labour-hour", 60.0}}) {
    question.prices = {only};
    const TogetherPart belt = part(replace_together(RepairKind::flow, {}, question), "belt");
    CHECK_FALSE(belt.now_cost);
    CHECK_FALSE(belt.later_cost);
    CHECK(belt.advice.find("prices would weigh it") != std::string::npos);
  }
}

TEST_CASE("what is missing is said") {
  TogetherQuestion question = belt_question();
  question.odometer_km.reset();
  const TogetherPart belt = part(replace_together(RepairKind::flow, {}, question), "belt");
  CHECK_FALSE(belt.failure);
  CHECK(belt.advice.find("odometer") != std::string::npos);
  CHECK_FALSE(part(replace_together(RepairKind::flow, {}, {}), "belt").life);
}

TEST_CASE("an electric fan leaves nothing else within reach") {
  JobFacts facts;
  facts.fan = FanDrive::electric;
  CHECK(replace_together(RepairKind::fan, facts, {}).empty());
  facts.fan = FanDrive::viscous;
  CHECK_FALSE(replace_together(RepairKind::fan, facts, {}).empty());
}
