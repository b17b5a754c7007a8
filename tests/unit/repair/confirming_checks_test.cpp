// SPDX-License-Identifier: Apache-2.0
// Checks in the order that settles the doubt most cheaply.
#include "repair/confirming_checks.hpp"

#include "unit/repair/made_reports.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <set>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// A check that finds one cause for sure.
ConfirmingCheck sure_check(const std::string& id, double minutes, Condition cause) {
  ConfirmingCheck check;
  check.id = id;
  check.minutes = minutes;
  check.finds[static_cast<std::size_t>(cause)] = 1.0;
  return check;
}

/// Minutes until the cause is found, on average, when checks are made in this order.
double expected_minutes(const std::vector<ConfirmingCheck>& checks, const CauseShares& shares) {
  double spent = 0.0;
  double expected = 0.0;
  for (const ConfirmingCheck& check : checks) {
    spent += check.minutes;
    expected += spent * std::inner_product(shares.begin(), shares.end(), check.finds.begin(), 0.0);
  }
  return expected;
}

double least_expected_minutes(std::vector<ConfirmingCheck> checks, const CauseShares& shares) {
  const auto by_id = [](const auto& a, const auto& b) { return a.id < b.id; };
  std::sort(checks.begin(), checks.end(), by_id);
  double least = 1e9;
  do least = std::min(least, expected_minutes(checks, shares));
  while (std::next_permutation(checks.begin(), checks.end(), by_id));
  return least;
}

std::vector<ConfirmingCheck> in_order(const CheckPlan& plan) {
  std::vector<ConfirmingCheck> checks;
  for (const PlannedCheck& planned : plan.checks) checks.push_back(planned.check);
  return checks;
}

double sum_of(const CauseShares& shares) {
  return std::accumulate(shares.begin(), shares.end(), 0.0);
}

bool has(const std::vector<ConfirmingCheck>& checks, const std::string& id) {
  return std::any_of(checks.begin(), checks.end(),
                     [&](const ConfirmingCheck& check) { return check.id == id; });
}

} // namespace

TEST_CASE("where each check looks for another cause, no order is cheaper") {
  const std::vector<ConfirmingCheck> checks = {
      sure_check("a", 40, Condition::thermostat_stuck_open),
      sure_check("b", 3, Condition::fan_not_cooling),
      sure_check("c", 12, Condition::coolant_flow_low),
      sure_check("d", 7, Condition::air_or_low_coolant),
      sure_check("e", 25, Condition::sensor_fault)};
  for (const CauseShares& shares : {CauseShares{0, 0.5, 0, 0, 0.1, 0, 0.1, 0.1, 0.2},
                                    CauseShares{0, 0.05, 0, 0, 0.05, 0, 0.6, 0.05, 0.25},
                                    CauseShares{0, 0.2, 0, 0, 0.2, 0, 0.2, 0.2, 0.2}}) {
    const CheckPlan plan = order_checks(checks, shares);
    REQUIRE(plan.checks.size() == checks.size());
    CHECK(expected_minutes(in_order(plan), shares) ==
          doctest::Approx(least_expected_minutes(checks, shares)));
    CHECK(plan.left_open == doctest::Approx(0.0));
  }
}

TEST_CASE("what the checks settle and what they leave make the whole doubt") {
  const CauseShares shares = fault_shares(stuck_open_report());
  const CheckPlan plan = order_checks(check_catalogue({}), shares);
  double settled = 0.0;
  for (const PlannedCheck& planned : plan.checks) settled += planned.settles;
  CHECK(settled + plan.left_open == doctest::Approx(1.0));
  CHECK(plan.left_open < 0.15);
}

TEST_CASE("the cold level comes first, and nothing that hardly settles anything comes at all") {
  const CheckPlan plan = order_checks(check_catalogue({}), fault_shares(stuck_open_report()));
  REQUIRE(plan.checks.size() >= 3);
  CHECK(plan.checks.size() <= k_most_checks);
  CHECK(plan.checks[0].check.id == "level-cold");
  CHECK(plan.checks[1].check.id == "hose-warm-up");
  for (std::size_t i = 1; i < plan.checks.size(); ++i)
    CHECK(plan.checks[i].settles >= k_least_settled);
}

TEST_CASE("a hot engine makes checks on a cold one dearer, and a cold one those on a hot one") {
  ConfirmingCheck hot = sure_check("hot", 5, Condition::fan_not_cooling);
  hot.engine = EngineState::hot;
  ConfirmingCheck cold = sure_check("cold", 4, Condition::radiator_restricted);
  cold.engine = EngineState::cold;
  ConfirmingCheck any = sure_check("any", 10, Condition::sensor_fault);
  const CauseShares nearly_hot{0, 0, 0, 0, 0.96, 0.02, 0, 0, 0.02};
  const auto order = in_order(order_checks({hot, cold, any}, nearly_hot));
  CHECK(order[0].id == "hot"); // 0.96 of 20 min with the heating up; the others 0.02 of 4 and 10
  REQUIRE(order.size() == 1);  // what is left hardly settles anything
  const CauseShares shares{0, 0, 0, 0, 0.5, 0.3, 0, 0, 0.2};
  const auto cold_first = in_order(order_checks({hot, cold, any}, shares));
  CHECK(cold_first[0].id == "cold"); // 0.3 of 4 min beside 0.5 of 20
  CHECK(cold_first[1].id == "hot");
  CHECK(cold_first[2].id == "any");
  const CauseShares heated{0, 0, 0, 0, 0.8, 0.1, 0, 0, 0.1};
  const auto hot_first = in_order(order_checks({hot, cold, any}, heated));
  CHECK(hot_first[0].id == "hot");
  CHECK(hot_first[1].id == "any"); // 10 min for the same share, against 4 and the cooling down
  CHECK(hot_first[2].id == "cold");
}

TEST_CASE("the ranking is softened to the verdict's confidence and stays one") {
  const CauseShares shares = fault_shares(stuck_open_report());
  CHECK(sum_of(shares) == doctest::Approx(1.0));
  CHECK(shares[0] == 0.0);
  const double open = shares[static_cast<std::size_t>(Condition::thermostat_stuck_open)];
  CHECK(open == doctest::Approx(0.8 + (1.0 - 0.8 / 0.96939) / 8.0).epsilon(0.001));
  CHECK(shares[static_cast<std::size_t>(Condition::coolant_flow_low)] > 0.0);
}

TEST_CASE("without ranked causes there is no share, and no check beyond the level") {
  ReportedTrip trip = stuck_open_report();
  trip.causes.clear();
  CHECK(sum_of(fault_shares(trip)) == 0.0);
  CHECK(order_checks(check_catalogue({}), fault_shares(trip)).checks.size() == 1);
}

TEST_CASE("every check is whole, every chance a chance, and every cause can be found") {
  CauseShares best{};
  std::set<std::string> ids;
  for (const ConfirmingCheck& check : check_catalogue({})) {
    CAPTURE(check.id);
    CHECK(ids.insert(check.id).second);
    for (const std::string* text : {&check.title, &check.how, &check.shows}) CHECK(!text->empty());
    CHECK(check.minutes > 0.0);
    CHECK(check.finds[0] == 0.0);
    for (std::size_t c = 0; c < best.size(); ++c) {
      CHECK(check.finds[c] >= 0.0);
      CHECK(check.finds[c] < 1.0);
      best[c] = std::max(best[c], check.finds[c]);
    }
  }
  for (std::size_t c = 1; c < best.size(); ++c) CHECK(best[c] >= 0.8);
}

TEST_CASE("the vehicle's own figures stand in the checks") {
  JobFacts facts;
  facts.opens_c = 82.0;
  facts.cap_kpa = 100.0;
  facts.fan = FanDrive::fixed;
  facts.valve_side = ThermostatSide::inlet;
  const auto checks = check_catalogue(facts);
  const auto find = [&](const std::string& id) {
    return *std::find_if(checks.begin(), checks.end(),
                         [&](const ConfirmingCheck& check) { return check.id == id; });
  };
  CHECK(find("thermostat-in-water").shows.find("79 to 85 °C, fully open at 94 °C") !=
        std::string::npos);
  CHECK(find("pressure-test").how.find("120 kPa") != std::string::npos);
  CHECK(find("hose-warm-up").how.find("lower radiator hose") != std::string::npos);
  CHECK_FALSE(has(checks, "fan-hot-idle"));
}

TEST_CASE("where the band saw the thermostat open, that is no rating to test by") {
  JobFacts facts;
  facts.opens_c = 77.0;
  facts.opens_by_band = true;
  for (const ConfirmingCheck& check : check_catalogue(facts))
    if (check.id == "thermostat-in-water") CHECK(check.shows.find("stamped") != std::string::npos);
}

TEST_CASE("free checks need no tools, little time and a cold engine") {
  const auto checks = free_checks({});
  CHECK(checks.size() >= 4);
  CHECK(has(checks, "level-cold"));
  for (const ConfirmingCheck& check : checks) {
    CHECK(check.tools.empty());
    CHECK(check.minutes <= 5.0);
    CHECK(check.engine == EngineState::cold);
  }
}
