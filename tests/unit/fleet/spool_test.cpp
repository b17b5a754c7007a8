// SPDX-License-Identifier: Apache-2.0
// What is put aside comes back, from memory and from the file.
#include "fleet/spool.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;

namespace {

std::string part(const Spool& spool, std::size_t offset, std::size_t length) {
  std::string text;
  CHECK_FALSE(spool.copy(offset, length, [&](std::string_view piece) {
    text += piece;
    return std::optional<Error>();
  }));
  return text;
}

} // namespace

TEST_CASE("spool: any part comes back, across the border to the file too") {
  Spool spool;
  std::string all;
  for (int i = 0; all.size() < 3 * Spool::k_most_in_memory; ++i) {
    const std::string line = "line " + std::to_string(i) + "\n";
    all += line;
    REQUIRE_FALSE(spool.add(line));
  }
  CHECK(spool.size() == all.size());
  CHECK(part(spool, 0, all.size()) == all);
  for (std::size_t at = 0; at + 1000 <= all.size(); at += 70001)
    CHECK(part(spool, at, 1000) == all.substr(at, 1000));
  CHECK(part(spool, all.size(), 0).empty());
  spool.clear();
  CHECK(spool.size() == 0);
  REQUIRE_FALSE(spool.add("again"));
  CHECK(part(spool, 0, 5) == "again");
}

TEST_CASE("spool: an error of the taker ends the copying") {
  Spool spool;
  REQUIRE_FALSE(spool.add("text"));
  const auto error = spool.copy_all([](std::string_view) {
    return std::optional(Error{ErrorKind::output, {}, "no", "", ""});
  });
  REQUIRE(error);
  CHECK(error->message == "no");
}
