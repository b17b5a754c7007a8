// SPDX-License-Identifier: Apache-2.0
// What a job lets out and what goes back in.
#include "repair/job_coolant.hpp"

#include "support/texts.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

JobFacts filled_system() {
  JobFacts facts;
  facts.capacity_l = 10.0;
  facts.glycol = Glycol::ethylene;
  facts.concentration_pct = 50.0;
  return facts;
}

JobCoolant coolant_of(RepairKind kind, const JobFacts& facts, const CoolantOptions& options = {}) {
  return job_coolant(kind, facts, options).value().value();
}

} // namespace

TEST_CASE("without a measurement the usual share comes out, and that is said") {
  const JobCoolant coolant = coolant_of(RepairKind::thermostat, filled_system());
  CHECK(coolant.drained_l == 5.0);
  CHECK(coolant.drained_from == Source::assumed);
  CHECK(coolant.refill->product_l == doctest::Approx(2.5));
  CHECK(coolant.refill->water_l == doctest::Approx(2.5));
  CHECK(coolant.notes.size() == 2);
}

TEST_CASE("what the user measured goes before profile and assumption") {
  CoolantOptions options;
  options.drained_l = 4.0;
  options.present_pct = 30.0;
  options.target_pct = 45.0;
  options.capacity_l = 8.0;
  const JobCoolant coolant = coolant_of(RepairKind::thermostat, filled_system(), options);
  // 8 L at 45 % hold 3.6 L, 4 L at 30 % stay with 1.2 L
  CHECK(coolant.refill->product_l == doctest::Approx(2.4));
  CHECK(coolant.refill->water_l == doctest::Approx(1.6));
  CHECK(coolant.notes.empty());
}

TEST_CASE("after flushing what stays is water") {
  const JobCoolant coolant = coolant_of(RepairKind::radiator, filled_system());
  CHECK(coolant.flushed);
  CHECK(coolant.flush_l == 20.0);
  // 7 L come out, 3 L of water stay: 5 L of concentrate make 50 %
  CHECK(coolant.refill->product_l == doctest::Approx(5.0));
  CHECK(coolant.refill->water_l == doctest::Approx(2.0));
}

TEST_CASE("without a capacity the missing figure and its formula are named") {
  const JobCoolant coolant = coolant_of(RepairKind::flow, {});
  CHECK_FALSE(coolant.refill);
  REQUIRE(coolant.missing.size() == 1);
  CHECK(coolant.missing[0].find("cooling.capacity_l") != std::string::npos);
  CHECK(coolant.missing[0].find("capacity × target %") != std::string::npos);
}

TEST_CASE("a system without glycol gets water only") {
  JobFacts facts = filled_system();
  facts.glycol = Glycol::none;
  facts.concentration_pct.reset();
  const JobCoolant coolant = coolant_of(RepairKind::thermostat, facts);
  CHECK(coolant.target_pct == 0.0);
  CHECK(coolant.refill->product_l == 0.0);
  CHECK(coolant.refill->water_l == doctest::Approx(5.0));
  CHECK(mentions(coolant.notes, "plain water freezes"));
}

TEST_CASE("plain water that is changed to a mix needs product, of a kind to be named") {
  JobFacts facts = filled_system();
  facts.glycol = Glycol::none;
  facts.concentration_pct.reset();
  CoolantOptions options;
  options.target_pct = 25.0;
  const JobCoolant coolant = coolant_of(RepairKind::thermostat, facts, options);
  CHECK(coolant.glycol == Glycol::ethylene);
  CHECK(coolant.present_pct == 0.0);
  CHECK(coolant.refill->product_l == doctest::Approx(2.5));
  CHECK(mentions(coolant.notes, "kind of coolant not known"));
  CHECK_FALSE(mentions(coolant.notes, "plain water"));
}

TEST_CASE("work that opens no circuit has no coolant, and contradictions are errors") {
  CHECK_FALSE(job_coolant(RepairKind::fan, filled_system(), {}).value());
  CoolantOptions options;
  options.drained_l = 11.0;
  const auto refused = job_coolant(RepairKind::thermostat, filled_system(), options);
  REQUIRE_FALSE(refused);
  CHECK(refused.error().kind == ErrorKind::usage);
}
