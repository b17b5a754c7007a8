// SPDX-License-Identifier: Apache-2.0
// UTF-16 against the worked examples of RFC 2781 and RFC 3629, and against iconv of the C library.
#include "import/text_source.hpp"

#include <doctest/doctest.h>

#include <cstdint>
#include <string>
#include <string_view>

#include <iconv.h>

using namespace coolband;

namespace {

std::string read_all(ByteSource& source) {
  std::string text;
  char piece[509];
  for (;;) {
    const auto got = source.read(piece, sizeof piece);
    if (!got || *got == 0) return text;
    text.append(piece, *got);
  }
}

std::string narrowed(std::string_view wide, ByteOrder order) {
  MemorySource bytes(wide);
  Utf16Source source(bytes, order);
  return read_all(source);
}

/// `text` in another encoding, as the C library has it.
std::string converted(std::string text, const char* from, const char* to) {
  const iconv_t tool = ::iconv_open(to, from);
  // A library without the encoding: the caller skips.
  if (tool == iconv_t(-1)) return {};
  std::string out(text.size() * 2 + 16, '\0');
  char* in_at = text.data();
  char* out_at = out.data();
  std::size_t in_left = text.size();
  std::size_t out_left = out.size();
  CHECK(::iconv(tool, &in_at, &in_left, &out_at, &out_left) == 0);
  CHECK(in_left == 0);
  ::iconv_close(tool);
  out.resize(out.size() - out_left);
  return out;
}

/// Characters of every length, none of them half a surrogate pair, in UTF-32 with the high byte
/// first.
std::string random_characters(std::size_t count) {
  std::string text;
  std::uint64_t state = 11;
  constexpr std::uint32_t k_ends[] = {0x80, 0x800, 0x10000, 0x110000};
  while (text.size() < count * 4) {
    state = state * 6364136223846793005U + 1442695040888963407U;
    const std::uint32_t end = k_ends[(state >> 60) % 4];
    const auto code = static_cast<std::uint32_t>((state >> 24) % end);
    if (code >= 0xD800 && code < 0xE000) continue;
    for (const unsigned shift : {24U, 16U, 8U, 0U}) text += static_cast<char>(code >> shift);
  }
  return text;
}

} // namespace

TEST_CASE("the example of RFC 2781, section 5, in its three forms") {
  // "*=Ra", where * is U+12345; its UTF-8 after RFC 3629, section 3.
  const std::string expected = "\xF0\x92\x8D\x85=Ra";
  CHECK(narrowed({"\xD8\x08\xDF\x45\x00\x3D\x00\x52\x00\x61", 10}, ByteOrder::big) == expected);
  CHECK(narrowed({"\x08\xD8\x45\xDF\x3D\x00\x52\x00\x61\x00", 10}, ByteOrder::little) == expected);
  const std::string_view marked[] = {{"\xFE\xFF\xD8\x08\xDF\x45\x00\x3D\x00\x52\x00\x61", 12},
                                     {"\xFF\xFE\x08\xD8\x45\xDF\x3D\x00\x52\x00\x61\x00", 12}};
  for (const std::string_view bytes : marked) {
    MemorySource source(bytes);
    TextSource text(source, "log");
    CHECK(text.encoding() == "UTF-16");
    CHECK(read_all(text) == "\xEF\xBB\xBF" + expected);
  }
}

TEST_CASE("the examples of RFC 3629, section 7") {
  CHECK(narrowed({"\x00\x41\x22\x62\x03\x91\x00\x2E", 8}, ByteOrder::big) ==
        "\x41\xE2\x89\xA2\xCE\x91\x2E");
  CHECK(narrowed("\xD5\x5C\xAD\x6D\xC5\xB4", ByteOrder::big) ==
        "\xED\x95\x9C\xEA\xB5\xAD\xEC\x96\xB4");
  CHECK(narrowed("\x65\xE5\x67\x2C\x8A\x9E", ByteOrder::big) ==
        "\xE6\x97\xA5\xE6\x9C\xAC\xE8\xAA\x9E");
  CHECK(narrowed("\xFE\xFF\xD8\x4C\xDF\xB4", ByteOrder::big) == "\xEF\xBB\xBF\xF0\xA3\x8E\xB4");
}

TEST_CASE("random characters come out as iconv has them") {
  const std::string characters = random_characters(20000);
  const std::string expected = converted(characters, "UTF-32BE", "UTF-8");
  if (expected.empty()) {
    MESSAGE("skipped: this C library's iconv knows no UTF-32BE");
    return;
  }
  CHECK(narrowed(converted(characters, "UTF-32BE", "UTF-16BE"), ByteOrder::big) == expected);
  CHECK(narrowed(converted(characters, "UTF-32BE", "UTF-16LE"), ByteOrder::little) == expected);
  CHECK(encoding_of(expected, true) == "UTF-8");
}
