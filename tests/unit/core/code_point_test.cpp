// SPDX-License-Identifier: Apache-2.0
// Characters that steer what shows them, and bytes that are no characters.
#include "coolband/core/error.hpp"
#include "core/code_point.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace coolband;

TEST_CASE("what turns text round, and what is no UTF-8, is replaced byte for byte") {
  CHECK(printable("a\u202Eb\u2066c\u200Fd\u2028") == "a???b???c???d???");
  CHECK(printable("\x9B"
                  "31m\xFF\xC3") == "?31m??");
  CHECK(printable("\xC3"
                  "A\xE2\x82"
                  "B") == "?A??B"); // begun and not gone on with
  CHECK(printable("\u05D0\u4E2D\u2026") == "\u05D0\u4E2D\u2026");
}

TEST_CASE("JSON keeps its values and shows no steering character") {
  CHECK(without_steering("{\"a\": \"\u009B31m\u202E\x7F\"}\n") ==
        "{\"a\": \"\\u009b31m\\u202e\\u007f\"}\n");
  CHECK(without_steering("[\"\u00B0\",\n1]") == "[\"\u00B0\",\n1]");
  CHECK(without_steering("").empty());
}

TEST_CASE("a steering character is found wherever it stands") {
  for (std::size_t before = 0; before < 20; ++before) {
    for (std::size_t behind = 0; behind < 12; ++behind) {
      const std::string front(before, '~');
      const std::string back(behind, 'x');
      CHECK(without_steering(front + "\x7F" + back) == front + "\\u007f" + back);
      CHECK(without_steering(front + "\u202E" + back) == front + "\\u202e" + back);
      CHECK(without_steering(front + "\u00B0" + back) == front + "\u00B0" + back);
      CHECK(without_steering(front + back) == front + back);
    }
  }
}
