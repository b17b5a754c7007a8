// SPDX-License-Identifier: Apache-2.0
// JSON as text against what the library writes of the same document.
#include "band/dump_json.hpp"

#include "support/random.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <cstdint>
#include <limits>
#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Json = nlohmann::ordered_json;

void check_same(const Json& json) {
  for (const int indent : {-1, 0, 2}) {
    const std::string expected = json.dump(indent, ' ', false, Json::error_handler_t::replace);
    CHECK(dumped(json, indent) == expected);
  }
}

/// Mostly letters, with everything that is escaped, and bytes that are no UTF-8.
std::string odd_text(Random& random) {
  const char* const parts[] = {"abc", "\"",         "\\",   "\n",   "\t",       "\b",
                               "\f",  "\r",         "\x01", "\x1F", "\x7F",     "°C",
                               "€",   "\U0001F525", "\xC3", "\xFF", "\xE2\x82", "/"};
  std::string text;
  for (std::size_t i = random.below(8); i > 0; --i) text += parts[random.below(std::size(parts))];
  if (random.below(5) == 0) text += '\0';
  return text;
}

Json odd_value(Random& random, int depth) {
  switch (random.below(depth > 0 ? 9U : 7U)) {
  case 0: return nullptr;
  case 1: return random.below(2) == 0;
  case 2: return -static_cast<std::int64_t>(random.below(1'000'000'000));
  case 3: return random.below(1'000'000'000);
  case 4: return random.between(-1e3, 1e3);
  case 5: return std::round(random.between(-1e6, 1e6)) / 1000.0;
  case 6: return odd_text(random);
  case 7: {
    Json list = Json::array();
    for (std::size_t i = random.below(4); i > 0; --i) list.push_back(odd_value(random, depth - 1));
    return list;
  }
  default: break;
  }
  Json object = Json::object();
  for (std::size_t i = random.below(4); i > 0; --i)
    object[odd_text(random)] = odd_value(random, depth - 1);
  return object;
}

} // namespace

TEST_CASE("JSON text: numbers at their ends, and those that are none") {
  using Limits = std::numeric_limits<double>;
  for (const double value : {0.0, -0.0, 1.0, 1e15, 1e16, 1e300, 5e-324, 0.1, 1.0 / 3.0, -12.5,
                             Limits::max(), Limits::infinity(), -Limits::infinity()})
    check_same(value);
  check_same(std::nan(""));
  check_same(std::numeric_limits<std::int64_t>::min());
  check_same(std::numeric_limits<std::uint64_t>::max());
}

TEST_CASE("JSON text: empty lists and objects, and those in them") {
  check_same(Json::array());
  check_same(Json::object());
  check_same(Json::array({Json::array(), Json::object()}));
  check_same({{"a", Json::object()}, {"b", Json::array()}, {"", ""}});
  check_same("");
}

TEST_CASE("JSON text: whatever a document holds, it is what the library writes") {
  Random random(5);
  for (int i = 0; i < 3000; ++i) check_same(odd_value(random, 4));
}
