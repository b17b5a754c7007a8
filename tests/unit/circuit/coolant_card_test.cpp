// SPDX-License-Identifier: Apache-2.0
// The coolant card: what is asked is answered, and nothing else.
#include "circuit/coolant_card.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;

TEST_CASE("with nothing asked the card has freezing, boiling and heat of the usual mix") {
  const CoolantCard card = coolant_card({}).value();
  CHECK(card.freezes_c == freezing_point_c({Glycol::ethylene, 50.0}).value());
  CHECK(card.outside_kpa == doctest::Approx(101.325));
  CHECK(card.boils_c == boiling_point_c({Glycol::ethylene, 50.0}, 191.325).value());
  CHECK(card.boils_open_c < card.boils_c);
  CHECK(card.heat.kj_per_litre_k() < card.water_heat.kj_per_litre_k());
  CHECK(!card.margin);
  CHECK(!card.protection);
  CHECK(!card.refill);
  CHECK(card.top_ups.empty());
}

TEST_CASE("the altitude of a map is turned into a geopotential one") {
  CoolantQuestion question;
  question.altitude_m = 4500.0;
  const double outside_kpa = coolant_card(question).value().outside_kpa;
  CHECK(outside_kpa == doctest::Approx(atmospheric_pressure_kpa(4496.8)).epsilon(1e-5));
  CHECK(outside_kpa > atmospheric_pressure_kpa(4500.0));
}

TEST_CASE("a margin is the distance to both boiling points") {
  CoolantQuestion question;
  question.temperature_c = 110.0;
  const CoolantCard card = coolant_card(question).value();
  CHECK(card.margin->at_cap_k == doctest::Approx(card.boils_c - 110.0));
  CHECK(card.margin->open_k < 0.0);
}

TEST_CASE("protection keeps a reserve where there is one") {
  CoolantQuestion question;
  question.protect_to_c = -30.0;
  const Protection mild = *coolant_card(question).value().protection;
  REQUIRE(mild.with_reserve_pct);
  CHECK(freezing_point_c({Glycol::ethylene, *mild.with_reserve_pct}).value() ==
        doctest::Approx(-32.0));
  question.protect_to_c = -47.0;
  CHECK(!coolant_card(question).value().protection->with_reserve_pct);
  question.protect_to_c = -49.0;
  CHECK(!coolant_card(question).ok());
}

TEST_CASE("a top-up is worked out for water, the same mix and the product, each once") {
  CoolantQuestion question;
  question.capacity_l = 8.0;
  question.top_up_l = 3.0;
  question.mix.volume_pct = 55.0;
  const auto three = coolant_card(question).value().top_ups;
  REQUIRE(three.size() == 3);
  CHECK(three[0].result_pct == doctest::Approx(34.375));
  CHECK(three[1].result_pct == doctest::Approx(55.0));
  CHECK(three[2].result_pct == doctest::Approx(71.875));
  CHECK(!three[2].freezes_c);
  question.product_pct = 55.0;
  CHECK(coolant_card(question).value().top_ups.size() == 2);
  question.mix = {Glycol::none, 0.0};
  CHECK(coolant_card(question).value().top_ups.size() == 1);
}

TEST_CASE("what is missing counts as room for the refill") {
  CoolantQuestion question;
  question.capacity_l = 8.0;
  question.target_pct = 50.0;
  question.top_up_l = 1.5;
  const Refill refill = *coolant_card(question).value().refill;
  CHECK(refill.product_l == doctest::Approx(0.75));
  CHECK(refill.water_l == doctest::Approx(0.75));
}

TEST_CASE("a card that cannot be is an error of usage with a remedy") {
  CoolantQuestion no_capacity;
  no_capacity.target_pct = 50.0;
  CoolantQuestion too_strong;
  too_strong.mix.volume_pct = 61.0;
  CoolantQuestion weak_product;
  weak_product.capacity_l = 8.0;
  weak_product.target_pct = 60.0;
  weak_product.product_pct = 40.0;
  for (const CoolantQuestion& question : {no_capacity, too_strong, weak_product}) {
    const auto card = coolant_card(question);
    REQUIRE(!card.ok());
    CHECK(card.error().kind == ErrorKind::usage);
    CHECK(!card.error().remedy.empty());
  }
}
