// SPDX-License-Identifier: Apache-2.0
// The vocabulary's own format: what its lines mean, and what is said of lines that mean nothing.
#include "import/vocabulary.hpp"

#include <doctest/doctest.h>

using namespace coolband;

namespace {

constexpr std::string_view k_text = "# a comment\n"
                                    "article: the\n"
                                    "filler: sensor, 1\n"
                                    "word temp: tmp\n"
                                    "same temp: temperature\n"
                                    "path: data\n"
                                    "thing: engine, cooling system\n"
                                    "coolant 2: coolant temp, pid 1f\n"
                                    "fan 1 with unit: fan speed\n"
                                    "signal 1: sensor\n"
                                    "other: engine hours\n";

} // namespace

TEST_CASE("a small vocabulary does what its lines say") {
  const Vocabulary known(k_text);
  CHECK(known.complaints().empty());
  const auto sense = [&](std::string_view text) { return known.sense_of(words_of(text)); };
  for (const char* text : {"Coolant Temp", "CoolantTemperature", "coolant_tmp", "The coolant temp",
                           "temp coolant", "coolant temp sensor 1"}) {
    REQUIRE_MESSAGE(sense(text), std::string(text));
    CHECK(sense(text)->role == Role::coolant);
    CHECK(sense(text)->tier == 2);
  }
  CHECK(sense("fan speed")->needs_unit);
  CHECK(sense("sensor")->role == Role::signal);
  CHECK(sense("engine hours")->meaning == Meaning::other);
  CHECK(sense("pid 1f")->role == Role::coolant);
  for (const char* text : {"", "the", "1", "pid f", "coolant", "coolant temp max", "sensor sensor"})
    CHECK_FALSE_MESSAGE(sense(text), std::string(text));
}

TEST_CASE("the parts of a path are containers, things or neither") {
  const Vocabulary known(k_text);
  CHECK(known.path_part({"data"}) == PathPart::container);
  CHECK(known.path_part({"0"}) == PathPart::container);
  CHECK(known.path_part({"cooling", "system"}) == PathPart::thing);
  CHECK(known.path_part({"data", "engine"}) == PathPart::thing);
  CHECK(known.path_part({"data", "max"}) == PathPart::none);
  CHECK(known.path_part({}) == PathPart::none);
}

TEST_CASE("lines that cannot be read and phrases with two meanings are complained of by line") {
  const Vocabulary known("coolant 1: ect\nnonsense\nheat 1: x\ncoolant ten: y\ncoolant 0: z\n"
                         "oil 1: ect\noil 2: warm oil\nambient 1: oil warm\nword: q\n");
  const std::vector<std::string> expected{
      "line 2: no colon",
      "line 3: unknown word 'heat 1'",
      "line 4: unknown word 'coolant ten'",
      "line 5: unknown word 'coolant 0'",
      "line 6: 'ect' has a meaning already",
      "line 8: 'oil warm' has a meaning already",
      "line 9: unknown word 'word'",
  };
  CHECK(known.complaints() == expected);
  CHECK(known.sense_of({"ect"})->role == Role::coolant);
}
