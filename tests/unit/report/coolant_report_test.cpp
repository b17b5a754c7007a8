// SPDX-License-Identifier: Apache-2.0
// What a coolant card warns of, and what it says of its own assumptions.
#include "report/coolant_report.hpp"
#include "report/coolant_words.hpp"
#include "support/texts.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <initializer_list>

using namespace coolband;
using namespace coolband::testing;

namespace {

CoolantReport report_of(const CoolantQuestion& question) {
  return {question, coolant_card(question).value(), {}, {}};
}

CoolantQuestion mix(Glycol glycol, double volume_pct) {
  CoolantQuestion question;
  question.mix = {glycol, volume_pct};
  question.glycol_from = question.concentration_from = Source::user;
  return question;
}

std::vector<std::string> warnings(const CoolantQuestion& question) {
  return warnings_of(report_of(question), {});
}

} // namespace

TEST_CASE("water alone, weak and strong mixes are warned of, usual ones are not") {
  CHECK(mentions(warnings(mix(Glycol::none, 0)), "water alone freezes at 0.0 °C"));
  CHECK(mentions(warnings(mix(Glycol::ethylene, 0)), "water alone freezes"));
  CHECK(mentions(warnings(mix(Glycol::ethylene, 39.9)), "is weak: ASTM D3306"));
  CHECK(mentions(warnings(mix(Glycol::propylene, 60)), "as strong as it should be"));
  for (double pct : {40.0, 50.0, 59.9})
    CHECK(warnings(mix(Glycol::ethylene, pct)).size() == 1); // the relief limit
}

TEST_CASE("a weak target is warned of though the mix is not weak") {
  CoolantQuestion question = mix(Glycol::ethylene, 50);
  question.capacity_l = 8.0;
  question.target_pct = 30.0;
  CHECK(mentions(warnings(question), "30 vol % is weak"));
}

TEST_CASE("near boiling there is a warning, nearer there is a stop") {
  CoolantQuestion question = mix(Glycol::ethylene, 50);
  const double boils_c = report_of(question).card.boils_c;
  question.temperature_c = boils_c - 4.9;
  CHECK(mentions(warnings(question), "stop at the next safe place"));
  question.temperature_c = boils_c - 9.9;
  CHECK(mentions(warnings(question), "within 10 K of boiling"));
  CHECK(mentions(warnings(question), "only the pressure keeps it from boiling"));
  question.temperature_c = 90.0;
  CHECK(warnings(question).size() == 1);
}

TEST_CASE("only a weak cap that the user gave is doubted") {
  CoolantQuestion question = mix(Glycol::ethylene, 50);
  question.cap_kpa = 14.0;
  question.cap_from = Source::profile;
  CHECK(!mentions(warnings(question), "unusually weak"));
  question.cap_from = Source::user;
  CHECK(mentions(warnings(question), "unusually weak"));
  question.cap_kpa = 0.0;
  CHECK(!mentions(warnings(question), "unusually weak"));
}

TEST_CASE("every assumption is named, and what was told is none") {
  const auto all = assumptions_of(report_of({}), {});
  for (const char* words : {"kind of glycol not given", "concentration not given: 50 vol %",
                            "cap not given: 90 kPa", "altitude not given"})
    CHECK(mentions(all, words));
  CoolantQuestion told = mix(Glycol::ethylene, 45);
  told.cap_from = told.altitude_from = Source::user;
  CHECK(assumptions_of(report_of(told), {}).empty());
  told.capacity_l = 8.0;
  told.target_pct = 30.0; // water only: no product is needed
  CHECK(!mentions(assumptions_of(report_of(told), {}), "strength of the product"));
  told.target_pct = 50.0;
  CHECK(mentions(assumptions_of(report_of(told), {}), "strength of the product"));
}

TEST_CASE("text and JSON say the same of a refill") {
  CoolantQuestion question = mix(Glycol::ethylene, 30);
  question.capacity_l = 10.0;
  question.target_pct = 50.0;
  question.drained_l = 1.0;
  const CoolantReport report = report_of(question);
  const std::string text = render_coolant(report, {});
  CHECK(text.find("1.00 L are not room enough: drain 1.86 L more, 2.86 L in all, then\n") !=
        std::string::npos);
  CHECK(text.find("fill in 2.86 L of concentrate") != std::string::npos);
  const std::string json = render_coolant_json(report, -1);
  CHECK(json.find("\"more_to_drain_l\":1.857") != std::string::npos);
  CHECK(json.find("\"product_l\":2.857") != std::string::npos);
  CHECK(json.find('\n') == std::string::npos);
}
