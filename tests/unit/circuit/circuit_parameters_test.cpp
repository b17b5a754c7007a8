// SPDX-License-Identifier: Apache-2.0
// Impossible parameters are named with their value and the rule that they break.
#include "circuit/circuit.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

using namespace coolband;

namespace {

template <class Change>
std::string told(Change change) {
  CircuitParameters parameters;
  change(parameters);
  return invalid(parameters).value_or("");
}

} // namespace

TEST_CASE("the default is possible") {
  CHECK(told([](CircuitParameters&) {}).empty());
}

TEST_CASE("field, value and rule are told") {
  using P = CircuitParameters;
  CHECK(told([](P& p) { p.span_k = 0.0; }) == "span_k = 0: must be above 0");
  CHECK(told([](P& p) { p.hysteresis_k = -1.5; }) == "hysteresis_k = -1.5: must not be below 0");
  CHECK(told([](P& p) { p.vent_share = 1.2; }) == "vent_share = 1.2: must be from 0 to 1");
  CHECK(told([](P& p) { p.opens_c = std::nan(""); }) == "opens_c = nan: must be a number");
  CHECK(told([](P& p) { p.block_kj_per_k = INFINITY; }) ==
        "block_kj_per_k = inf: must be a number");
  CHECK(told([](P& p) { p.idle_rpm = 4000.0; }) == "idle_rpm = 4000: must be below rated_rpm");
  CHECK(told([](P& p) { p.fan_off_c = 92.0; }) == "fan_off_c = 92: must be below fan_on_c");
  CHECK(told([](P& p) { p.cap_kpa = 500.0; }) == "cap_kpa = 500: must not be above 400");
  CHECK(told([](P& p) { p.mix.volume_pct = 70.0; }) == "mix.volume_pct = 70: must be from 0 to 60");
}

TEST_CASE("no field may be what is no number") {
  using P = CircuitParameters;
  for (double P::*const field : {&P::rated_rpm,
                                 &P::idle_rpm,
                                 &P::full_heat_kw,
                                 &P::no_load_share,
                                 &P::cold_extra,
                                 &P::block_kj_per_k,
                                 &P::block_to_coolant_kw_per_k,
                                 &P::engine_coolant_l,
                                 &P::radiator_coolant_l,
                                 &P::radiator_metal_kj_per_k,
                                 &P::flow_l_per_min,
                                 &P::cap_kpa,
                                 &P::opens_c,
                                 &P::span_k,
                                 &P::hysteresis_k,
                                 &P::wax_lag_s,
                                 &P::vent_share,
                                 &P::radiator_ua_kw_per_k,
                                 &P::reference_air_mps,
                                 &P::radiator_face_m2,
                                 &P::ram_share,
                                 &P::still_air_mps,
                                 &P::fan_air_mps,
                                 &P::fan_on_c,
                                 &P::fan_off_c,
                                 &P::surface_kw_per_k,
                                 &P::surface_kw_per_k_per_mps,
                                 &P::heater_kw_per_k}) {
    P parameters;
    parameters.*field = std::nan("");
    CHECK(invalid(parameters).has_value());
  }
}
