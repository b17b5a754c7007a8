// SPDX-License-Identifier: Apache-2.0
// The profile: every field but the id may be missing, and a wrong one is named.
#include "coolband/band/vehicle_profile.hpp"

#include "band/profile_slips.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace coolband;

namespace {

std::string profile(const std::string& fields) {
  return R"({"schema": "coolband.vehicle/1", "id": "V 1")" + fields + "}";
}

std::string complaint(const std::string& fields) {
  const auto result = parse_profile(profile(fields), "p.json");
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == ErrorKind::usage);
  CHECK(result.error().origin.file == "p.json");
  return result.error().message;
}

} // namespace

TEST_CASE("an id is enough") {
  const auto result = parse_profile(profile(""), "p.json");
  REQUIRE(result);
  CHECK(result->id == "V 1");
  CHECK_FALSE(result->thermostat_opens_c);
  CHECK_FALSE(result->normal_centre_c);
  CHECK_FALSE(result->glycol);
  CHECK(result->json == profile(""));
}

TEST_CASE("every field is read from its group") {
  const auto result = parse_profile(profile(R"(, "label": "van", "odometer_km": 120000,
        "thermostat": {"opens_c": 76, "full_open_c": 88},
        "cooling": {"capacity_l": 8.5, "cap_kpa": 90, "glycol": "propylene",
                    "concentration_vol_pct": 40, "fan": "viscous"},
        "normal": {"centre_c": 80, "tolerance_c": 2})"),
                                    "p.json");
  REQUIRE(result);
  CHECK(*result->label == "van");
  CHECK(*result->odometer_km == 120000.0);
  CHECK(*result->thermostat_opens_c == 76.0);
  CHECK(*result->thermostat_full_open_c == 88.0);
  CHECK(*result->capacity_l == 8.5);
  CHECK(*result->cap_kpa == 90.0);
  CHECK(*result->glycol == Glycol::propylene);
  CHECK(*result->concentration_vol_pct == 40.0);
  CHECK(*result->fan == "viscous");
  CHECK(*result->normal_centre_c == 80.0);
  CHECK(*result->normal_tolerance_c == 2.0);
}

TEST_CASE("null is as good as absent") {
  CHECK(parse_profile(profile(R"(, "thermostat": null, "label": null)"), "p.json"));
}

TEST_CASE("wrong fields are named") {
  CHECK(complaint(R"(, "thermostat": 76)") == "\"thermostat\" must be an object");
  CHECK(complaint(R"(, "thermostat": {"opens_c": "76"})") == "\"opens_c\" must be a number");
  CHECK(complaint(R"(, "thermostat": {"opens_c": 176})") ==
        "\"opens_c\" is 176, outside 30 to 130");
  CHECK(complaint(R"(, "normal": {"tolerance_c": 0})").find("\"tolerance_c\" is 0") == 0);
  CHECK(complaint(R"(, "cooling": {"glycol": "oil"})") ==
        "\"glycol\" must be ethylene, propylene or none");
  CHECK(complaint(R"(, "cooling": {"cap_kpa": -5})").find("\"cap_kpa\" is -5") == 0);
  CHECK(complaint(R"(, "label": 3)") == "\"label\" must be a text");
  CHECK(complaint(R"(, "odometer_km": 1e999)") == "holds a number that is too large");
}

TEST_CASE("slips in the names of fields are told, other people's fields are not") {
  const auto slips_in = [](const std::string& fields) {
    const auto profile =
        parse_profile(R"({"schema":"coolband.vehicle/1","id":"x")" + fields + "}", "x.json");
    REQUIRE(profile);
    return profile_slips(*profile);
  };
  using Slips = std::vector<std::string>;
  const auto slip = [](const std::string& key, const std::string& in, const std::string& meant) {
    return "\"" + key + "\"" + (in.empty() ? "" : " in \"" + in + "\"") +
           " is no known field and is passed over: did you mean \"" + meant + "\"?";
  };
  CHECK(slips_in(R"(,"thermostat":{"opens":76},"normal":{"center_c":80})") ==
        Slips{slip("opens", "thermostat", "opens_c"), slip("center_c", "normal", "centre_c")});
  CHECK(slips_in(R"(,"Thermostat":{"opens_c":76})") == Slips{slip("Thermostat", "", "thermostat")});
  CHECK(slips_in(R"(,"cooling":{"cap_bar":1.1})") == Slips{slip("cap_bar", "cooling", "cap_kpa")});
  CHECK(slips_in(R"(,"cooling":{"cap_kpa":1.1})").size() == 1);
  CHECK(
      slips_in(R"(,"note":"blue","cooling":{"cap_kpa":110,"fan_on_c":95,"radiator_l":3})").empty());
  CHECK(slips_in(R"(,"normal":{"centre_c":80,"center_c":80})").empty());
}

TEST_CASE("a thermostat that is fully open before it opens is refused") {
  CHECK(complaint(R"(, "thermostat": {"opens_c": 76, "full_open_c": 60})") ==
        "\"full_open_c\" must be above opens_c");
}

TEST_CASE("what no profile needs is refused with its place, not walked through") {
  const auto error_of = [](const std::string& text) { return parse_profile(text, "p").error(); };
  const std::string start = "{\"schema\": \"coolband.vehicle/1\", \"id\": \"[[\", \"x\":\n ";
  const auto nested = [&](std::size_t depth) {
    return start + std::string(depth, '[') + std::string(depth, ']') + "}";
  };
  CHECK(parse_profile(nested(99), "p"));
  const Error deep = error_of(nested(1'000'000));
  CHECK(deep.message == "nested here deeper than 100 levels");
  CHECK(deep.origin.line == 2);
  CHECK(deep.origin.column == 101);
  const Error large = error_of(start + "[true, \"1e999\", 1e-999, -1e999]}");
  CHECK(large.message == "holds a number that is too large");
  CHECK(large.origin.line == 2);
  CHECK(large.origin.column == 26);
  const Error zero = error_of(start + "1}" + std::string(1, '\0') + "{");
  CHECK(zero.message == "not valid JSON here");
  CHECK(zero.origin.column == 4);
}

TEST_CASE("a key that stands twice is refused, not decided by whichever comes last") {
  const std::string start = "{\"schema\": \"coolband.vehicle/1\", \"id\": \"x\",\n";
  const auto twice = parse_profile(start + " \"cap_kpa\": 90, \"cap_kpa\": 110}", "p");
  REQUIRE_FALSE(twice);
  CHECK(twice.error().message == "\"cap_kpa\" stands here a second time");
  CHECK(twice.error().origin.line == 2);
  CHECK(twice.error().origin.column == 17);
  CHECK(twice.error().remedy == "keep one of the two");
  // In other objects it is another key.
  CHECK(parse_profile(start + " \"a\": [{\"b\": 1}, {\"b\": 2, \"a\": 1}]}", "p"));
}

TEST_CASE("a profile without id, of another kind or from the future is refused") {
  CHECK(parse_profile(R"({"schema": "coolband.vehicle/1"})", "p").error().message ==
        "\"id\" is missing");
  CHECK(parse_profile(R"({"schema": "coolband.vehicle/3", "id": "x"})", "p")
            .error()
            .message.find("written for \"coolband.vehicle/3\"") == 0);
  CHECK(parse_profile(R"({"schema": "coolband.band/1", "id": "x"})", "p")
            .error()
            .message.find("is needed here") != std::string::npos);
}
