// SPDX-License-Identifier: Apache-2.0
// UTF-16 in both orders, in pieces, and damaged.
#include "import/utf16_source.hpp"

#include "unit/import/byte_sources.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

struct Narrowed {
  std::string text;
  std::size_t damaged = 0;
};

Narrowed narrowed(std::string_view wide, ByteOrder order, std::size_t block = 4096) {
  DripSource bytes(wide, block);
  Utf16Source source(bytes, order);
  std::string text = all_of(source, block);
  return {std::move(text), source.damaged()};
}

const std::string k_damaged = "\xEF\xBF\xBD";

} // namespace

TEST_CASE("characters of one to four bytes come out, in both orders and any blocks") {
  // U+0041, U+00E9, U+20AC, U+1F600
  const std::string little("A\0\xE9\0\xAC\x20\x3D\xD8\x00\xDE", 10);
  const std::string big("\0A\0\xE9\x20\xAC\xD8\x3D\xDE\x00", 10);
  for (std::size_t block = 1; block <= 11; ++block) {
    const Narrowed a = narrowed(little, ByteOrder::little, block);
    const Narrowed b = narrowed(big, ByteOrder::big, block);
    CHECK(a.text == "A\xC3\xA9\xE2\x82\xAC\xF0\x9F\x98\x80");
    CHECK(b.text == a.text);
    CHECK(a.damaged + b.damaged == 0);
  }
}

TEST_CASE("half a pair and an odd last byte are replaced and counted") {
  const auto big = [](std::string_view wide) { return narrowed(wide, ByteOrder::big); };
  CHECK(big({"\xD8\x3D\0A", 4}).text == k_damaged + "A");
  CHECK(big({"\xDE\x00\0A", 4}).text == k_damaged + "A");
  CHECK(big({"\xD8\x3D\xD8\x3D\xDE\x00", 6}).text == k_damaged + "\xF0\x9F\x98\x80");
  CHECK(big({"\0A\xD8\x3D", 4}).text == "A" + k_damaged);
  CHECK(big({"\0A\0", 3}).text == "A" + k_damaged);
  CHECK(big({"\xDE\x00\xD8\x3D\0A\xD8\x3D\0", 9}).damaged == 4);
  CHECK(big("").text.empty());
  CHECK(big("").damaged == 0);
}

TEST_CASE("a text longer than the block inside comes out whole") {
  const std::string text(300001, 'x');
  CHECK(narrowed(utf16_of(text, false, false), ByteOrder::little, 9973).text == text);
}

TEST_CASE("a source that fails within UTF-16 gives its own error") {
  const std::string wide = utf16_of("time_s,coolant_c\n0,90\n", true, true);
  for (std::size_t border = 0; border <= wide.size(); ++border) {
    SplitSource failing(wide, border, true);
    Utf16Source source(failing, ByteOrder::big);
    std::string piece(512, '\0');
    auto got = source.read(piece.data(), piece.size());
    while (got && *got > 0) got = source.read(piece.data(), piece.size());
    REQUIRE_FALSE(got.ok());
    CHECK(got.error().message == "cannot be read: broken");
  }
}
