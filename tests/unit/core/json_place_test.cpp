// SPDX-License-Identifier: Apache-2.0
// Members are counted without parsing, whatever stands in them.
#include "core/json_place.hpp"

#include <doctest/doctest.h>

using namespace coolband;

TEST_CASE("json place: the members of the outermost object are counted, and no others") {
  CHECK(member_count("{}") == 0);
  CHECK(member_count(R"({"a": 1})") == 1);
  CHECK(member_count("\xEF\xBB\xBF \n{\"a\" : null , \"b\":\"x:y\\\":z\"}\n") == 2);
  CHECK(member_count(R"({"a": {"b": 1, "c": [{"d": 2}]}, "e": [":", 3], "f": "{"})") == 3);
}

TEST_CASE("json place: what is no object has no members, and what is broken ends") {
  for (const char* text : {"", "  ", "[1, 2]", "\"a\": 1", "time,coolant\n08:00:00,80\n"})
    CHECK(member_count(text) == 0);
  CHECK(member_count(R"({"a": 1, "b)") == 1);
  CHECK(member_count(R"({"a": 1}{"b": 2, "c": 3})") == 1);
  CHECK(member_count("{\"a\":1,\"b\":2") == 2);
}
