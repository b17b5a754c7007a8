// SPDX-License-Identifier: Apache-2.0
// "Did you mean" names the near and keeps silent about the far.
#include "core/suggest.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace coolband;

TEST_CASE("the nearest known word is suggested") {
  const std::vector<std::string> known{"coolant", "ambient", "intake", "load", "rpm"};
  CHECK(nearest("coolnat", known) == "coolant");
  CHECK(nearest("COOLAN", known) == "coolant");
  CHECK(nearest("ambiant", known) == "ambient");
  CHECK(nearest("laod", known) == "load");
  CHECK(nearest("rmp", known) == "rpm");
}

TEST_CASE("nothing is suggested where nothing is near") {
  const std::vector<std::string> known{"coolant", "load", "rpm"};
  CHECK(nearest("banana", known).empty());
  CHECK(nearest("", known).empty());
  CHECK(nearest("x", known).empty());
  CHECK(nearest("coolant", std::vector<std::string>{}).empty());
}
