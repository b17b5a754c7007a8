// SPDX-License-Identifier: Apache-2.0
// Gzip data whole, in members, padded, cut at every byte and damaged.
#include "import/gzip_source.hpp"

#include "unit/import/byte_sources.hpp"

#include <cstdint>

using namespace coolband;
using namespace coolband::test;

namespace {

/// Text that packs neither well nor not at all.
std::string some_rows(std::size_t rows) {
  std::string text = "time_s,coolant_c\n";
  std::uint32_t state = 5;
  for (std::size_t i = 0; i < rows; ++i) {
    state = state * 1664525U + 1013904223U;
    text += std::to_string(i) + "," + std::to_string(80 + (state >> 28)) + "." +
            std::to_string((state >> 20) % 10) + "\n";
  }
  return text;
}

struct Unpacked {
  std::string text;
  std::string fault;
  bool cut = false;
};

Unpacked unpacked(std::string_view packed, std::size_t block = 4096) {
  MemorySource bytes(packed);
  GzipSource source(bytes, "log");
  std::string text = all_of(source, block);
  return {std::move(text), source.fault(), source.cut()};
}

/// The error of gzip data of which nothing comes out, as a person sees it.
std::string refused(std::string_view packed) {
  MemorySource bytes(packed);
  GzipSource source(bytes, "log");
  char byte = 0;
  const auto got = source.read(&byte, 1);
  REQUIRE_FALSE(got.ok());
  CHECK(got.error().kind == ErrorKind::input);
  return describe(got.error());
}

} // namespace

TEST_CASE("gzip data comes out as it went in, whatever the blocks") {
  const std::string text = some_rows(3000);
  for (const int level : {0, 1, 9}) {
    const std::string packed = gzip_of(text, level);
    for (const std::size_t block : {1U, 2U, 7U, 4096U, 1000000U}) {
      DripSource drip(packed, block);
      GzipSource source(drip, "log");
      CHECK(all_of(source, block) == text);
      CHECK(source.fault().empty());
      CHECK_FALSE(source.cut());
    }
  }
}

TEST_CASE("members that follow each other are one text") {
  const std::string a = some_rows(100);
  const std::string b = some_rows(5);
  const std::string packed = gzip_of(a) + gzip_of("") + gzip_of(b);
  for (std::size_t border = 0; border <= packed.size(); ++border) {
    SplitSource split(packed, border);
    GzipSource source(split, "log");
    CHECK(all_of(source) == a + b);
    CHECK(source.fault().empty());
  }
}

TEST_CASE("zeros behind a member are padding, also before another member") {
  const std::string text = some_rows(50);
  const std::string zeros(100000, '\0');
  CHECK(unpacked(gzip_of(text) + zeros).text == text);
  CHECK(unpacked(gzip_of(text) + zeros).fault.empty());
  CHECK(unpacked(gzip_of(text) + zeros + gzip_of(text)).text == text + text);
}

TEST_CASE("an empty text in gzip data is no fault") {
  CHECK(unpacked(gzip_of("")).text.empty());
  CHECK(unpacked(gzip_of("")).fault.empty());
}

TEST_CASE("what follows gzip data and is none is left out with a word") {
  const std::string text = some_rows(50);
  for (const std::string_view tail : {"hello", "\x1Fhello", "\x1F", "\x1F\x8B\x07zzzzzzzzzzzzz"}) {
    const Unpacked result = unpacked(gzip_of(text) + std::string(tail));
    CHECK(result.text == text);
    CHECK(result.fault.find(tail.size() == 1
                                ? "the gzip data ends early"
                                : "is no sound gzip data and is not used") != std::string::npos);
  }
  CHECK(
      unpacked(gzip_of("0123456789") + "hello").fault ==
      "what stands behind the gzip data (10 bytes of text) is no sound gzip data and is not used");
}

TEST_CASE("gzip data cut at any byte gives the beginning of the text and says so") {
  const std::string text = some_rows(400);
  const std::string packed = gzip_of(text);
  std::size_t longest = 0;
  for (std::size_t size = 2; size < packed.size(); ++size) {
    const Unpacked result = unpacked(std::string_view(packed).substr(0, size), size % 9 + 1);
    CHECK(text.compare(0, result.text.size(), result.text) == 0);
    CHECK(result.text.size() >= longest);
    CHECK(result.cut);
    longest = result.text.size();
    if (longest > 0)
      CHECK(result.fault == "the gzip data ends early: the log is read as far as it goes, " +
                                std::to_string(longest) + " bytes of text");
  }
  CHECK(longest == text.size());
  CHECK(refused(std::string_view(packed).substr(0, 12)) ==
        "log: the gzip data ends before any text\n  get the file again; gzip -t FILE tests it");
}

TEST_CASE("any changed byte of gzip data is noticed, unless it is one of the header's remarks") {
  const std::string text = some_rows(200);
  const std::string packed = gzip_of(text);
  for (std::size_t at = 2; at < packed.size(); ++at) {
    // RFC 1952: bytes 4 to 7 are a time, 8 and 9 say how and where it was packed; no sum has them.
    if (at >= 4 && at < 10) continue;
    std::string changed = packed;
    changed[at] = static_cast<char>(changed[at] ^ 0x10);
    const Unpacked result = unpacked(changed);
    if (result.text == text && result.fault.empty()) FAIL("byte " << at);
  }
}

TEST_CASE("damage is told by its kind") {
  const std::string text = some_rows(200);
  const std::string first = gzip_of(text);
  std::string packed = first + gzip_of(text);
  packed[packed.size() - 8] = static_cast<char>(packed[packed.size() - 8] ^ 1);
  const Unpacked sum = unpacked(packed);
  CHECK(sum.text == text + text);
  CHECK(sum.fault == "the gzip data does not match its check sum: something in bytes " +
                         std::to_string(text.size() + 1) + " to " +
                         std::to_string(2 * text.size()) + " of the text may be wrong");
  CHECK_FALSE(sum.cut);

  // Ten bytes stored, then a block of type 11, which RFC 1951 (3.2.3) calls an error.
  const Unpacked broken = unpacked(std::string("\x1F\x8B\x08\0\0\0\0\0\0\xFF", 10) +
                                   std::string("\0\x0A\0\xF5\xFF", 5) + "0123456789\x07");
  CHECK(broken.text == "0123456789");
  CHECK(broken.fault == "the gzip data is damaged: the log is read up to there, 10 bytes of text, "
                        "and what stands last may be wrong");
  CHECK(broken.cut);

  CHECK(refused("\x1F\x8B\x07zzzzzzzzzzzz") ==
        "log: the gzip data is damaged at its start\n  get the file again; gzip -t FILE tests it");
}

TEST_CASE("a source that fails within gzip data gives its own error") {
  const std::string packed = gzip_of(some_rows(100)) + gzip_of(some_rows(3));
  for (std::size_t border = 0; border <= packed.size(); ++border) {
    SplitSource failing(packed, border, true);
    GzipSource source(failing, "log");
    std::string piece(512, '\0');
    auto got = source.read(piece.data(), piece.size());
    while (got && *got > 0) got = source.read(piece.data(), piece.size());
    REQUIRE_FALSE(got.ok());
    CHECK(got.error().message == "cannot be read: broken");
  }
}

TEST_CASE("gzip data that grows a thousandfold comes out in the blocks asked for") {
  const std::string packed = gzip_of(std::string(20000000, '\n'), 9);
  CHECK(packed.size() < 25000);
  MemorySource bytes(packed);
  GzipSource source(bytes, "log");
  std::string piece(1000, '\0');
  std::size_t size = 0;
  for (;;) {
    const auto got = source.read(piece.data(), piece.size());
    REQUIRE(got.ok());
    if (*got == 0) break;
    size += *got;
  }
  CHECK(size == 20000000);
}
