// SPDX-License-Identifier: Apache-2.0
// Parts with quantities, and costs from the user's prices alone.
#include "repair/parts.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

using namespace coolband;

namespace {

const PlannedPart* find(const std::vector<PlannedPart>& parts, const std::string& id) {
  const auto found = std::find_if(parts.begin(), parts.end(),
                                  [&](const PlannedPart& part) { return part.kind.id == id; });
  return found == parts.end() ? nullptr : &*found;
}

std::vector<PlannedPart> thermostat_job(JobFacts facts) {
  const auto coolant = job_coolant(RepairKind::thermostat, facts, {}).value();
  return parts_for(RepairKind::thermostat, facts, coolant);
}

JobFacts known_system() {
  JobFacts facts;
  facts.capacity_l = 10.0;
  facts.glycol = Glycol::ethylene;
  facts.concentration_pct = 40.0;
  facts.opens_c = 82.0;
  return facts;
}

} // namespace

TEST_CASE("a thermostat comes by its rating, with coolant by the arithmetic") {
  const auto parts = thermostat_job(known_system());
  CHECK(find(parts, "thermostat")->note == "opens at 82 °C");
  CHECK(find(parts, "coolant")->quantity == doctest::Approx(2.0));
  CHECK(find(parts, "water")->quantity == doctest::Approx(3.0));
  CHECK(find(parts, "waste-container")->note == "5.5 L or more");
  CHECK(find(parts, "radiator-hose")->need == PartNeed::if_found_bad);
}

TEST_CASE("what is not known is no quantity and no rating") {
  const auto parts = thermostat_job({});
  CHECK_FALSE(find(parts, "coolant")->quantity);
  CHECK(find(parts, "thermostat")->note.find("stamped") != std::string::npos);
}

TEST_CASE("a fan's parts follow its kind") {
  JobFacts facts;
  facts.fan = FanDrive::viscous;
  CHECK(find(parts_for(RepairKind::fan, facts, {}), "fan-clutch") != nullptr);
  facts.fan = FanDrive::electric;
  const auto electric = parts_for(RepairKind::fan, facts, {});
  CHECK(find(electric, "fan-relay") != nullptr);
  CHECK(find(electric, "fan-clutch") == nullptr);
  CHECK(find(electric, "coolant") == nullptr);
  facts.fan.reset();
  const auto some = parts_for(RepairKind::fan, facts, {});
  CHECK(find(some, "fan-clutch")->need == PartNeed::if_found_bad);
  CHECK(find(some, "fan-fuse")->need == PartNeed::if_found_bad);
}

TEST_CASE("costs add up needed parts and name those without a price") {
  auto parts = thermostat_job(known_system());
  const auto costs = cost_up(parts, {{"thermostat", 20.0}, {"coolant", 6.0}, {"cap", 9.0}}, "EUR");
  REQUIRE(costs);
  CHECK(costs->needed == doctest::Approx(20.0 + 2.0 * 6.0));
  CHECK(costs->if_found_bad == doctest::Approx(9.0));
  CHECK(costs->currency == "EUR");
  const auto& unpriced = costs->unpriced;
  CHECK(std::find(unpriced.begin(), unpriced.end(), "distilled water") != unpriced.end());
  CHECK(std::find(unpriced.begin(), unpriced.end(), "thermostat") == unpriced.end());
}

TEST_CASE("hours count by the price of one, beside the parts") {
  auto parts = thermostat_job(known_system());
  const std::vector<PartPrice> prices = {{"thermostat", 20.0}, {"labour-hour", 60.0}};
  CHECK_FALSE(cost_up(parts, prices, "")->labour);
  const auto costs = cost_up(parts, prices, "", 1.5);
  CHECK(costs->labour == doctest::Approx(90.0));
  CHECK(costs->needed == doctest::Approx(20.0));
  CHECK(cost_up(parts, {{"labour-hour", 60.0}}, "", 2.0)->labour == doctest::Approx(120.0));
}

TEST_CASE("without a price for these parts there are no costs") {
  auto parts = thermostat_job(known_system());
  CHECK_FALSE(cost_up(parts, {}, ""));
  CHECK_FALSE(cost_up(parts, {{"fan-motor", 100.0}}, ""));
}

TEST_CASE("every part that any job names is a known kind, each id once") {
  std::set<std::string_view> ids;
  for (const PartKind& kind : part_kinds()) CHECK(ids.insert(kind.id).second);
  for (const auto kind : {RepairKind::thermostat, RepairKind::fan, RepairKind::radiator,
                          RepairKind::flow, RepairKind::leak, RepairKind::sensor}) {
    const auto parts = parts_for(kind, {}, job_coolant(kind, {}, {}).value());
    CHECK(parts.size() >= 3);
    for (const PlannedPart& part : parts) CHECK(ids.count(part.kind.id) == 1);
  }
}
