// SPDX-License-Identifier: Apache-2.0
// Gzip data written by hand after RFC 1952 (layout in section 2.3, check sum in section 8) and the
// stored blocks of RFC 1951 (3.2.4): no library has had a part in it.
#include "import/gzip_source.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <string>
#include <string_view>

using namespace coolband;

namespace {

/// RFC 1952, section 8, a bit at a time.
std::uint32_t crc_of(std::string_view bytes) {
  std::uint32_t crc = 0xFFFFFFFFU;
  for (const char c : bytes) {
    crc ^= static_cast<unsigned char>(c);
    for (int bit = 0; bit < 8; ++bit) crc = (crc & 1U) != 0 ? 0xEDB88320U ^ (crc >> 1) : crc >> 1;
  }
  return crc ^ 0xFFFFFFFFU;
}

std::string low_first(std::uint32_t value, unsigned bytes) {
  std::string text;
  for (unsigned i = 0; i < bytes; ++i) text += static_cast<char>(value >> (8 * i));
  return text;
}

constexpr unsigned k_header_sum = 2;
constexpr unsigned k_extra = 4;
constexpr unsigned k_name = 8;
constexpr unsigned k_comment = 16;

/// A member with the optional fields that `flags` (FLG) asks for, its text stored.
std::string member(std::string_view text, unsigned flags) {
  std::string packed("\x1F\x8B\x08", 3);
  packed += static_cast<char>(flags);
  packed += low_first(1900000000U, 4) + low_first(0xFF00U, 2);
  if ((flags & k_extra) != 0) packed += low_first(7, 2) + "cb" + low_first(3, 2) + "xyz";
  if ((flags & k_name) != 0) packed += std::string("trip.csv") + '\0';
  if ((flags & k_comment) != 0) packed += std::string("made by hand") + '\0';
  if ((flags & k_header_sum) != 0) packed += low_first(crc_of(packed) & 0xFFFFU, 2);
  for (std::size_t at = 0; at == 0 || at < text.size(); at += 0xFFFF) {
    const std::string_view block = text.substr(at, 0xFFFF);
    const auto size = static_cast<std::uint32_t>(block.size());
    packed += at + block.size() == text.size() ? '\1' : '\0';
    packed += low_first(size, 2) + low_first(~size, 2) + std::string(block);
  }
  return packed + low_first(crc_of(text), 4) +
         low_first(static_cast<std::uint32_t>(text.size()), 4);
}

struct Unpacked {
  std::string text;
  std::string fault;
};

Unpacked unpacked(std::string_view packed) {
  MemorySource bytes(packed);
  GzipSource source(bytes, "log");
  Unpacked result;
  char piece[1021];
  for (;;) {
    const auto got = source.read(piece, sizeof piece);
    if (!got || *got == 0) break;
    result.text.append(piece, *got);
  }
  result.fault = source.fault();
  return result;
}

} // namespace

TEST_CASE("the check sum of the digits 1 to 9") {
  // The usual test value of this CRC (from memory).
  CHECK(crc_of("123456789") == 0xCBF43926U);
}

TEST_CASE("members of RFC 1952 are read with any of their optional fields") {
  std::string text = "time_s,coolant_c\n";
  for (int i = 0; i < 20000; ++i) text += std::to_string(i) + ",90\n";
  for (unsigned flags = 0; flags < 32; ++flags) {
    const std::string packed = member(text, flags & ~1U) + member("1,2\n", flags & 1U);
    const Unpacked result = unpacked(packed);
    CHECK(result.text == text + "1,2\n");
    CHECK(result.fault.empty());
  }
}

TEST_CASE("a wrong check sum, length or header sum of RFC 1952 is noticed") {
  const std::string whole = member("0123456789", k_header_sum | k_name);
  for (const std::size_t from_end : {1U, 4U, 5U, 8U}) {
    std::string packed = whole;
    packed[packed.size() - from_end] = static_cast<char>(packed[packed.size() - from_end] ^ 1);
    CHECK(unpacked(packed).fault ==
          "the gzip data does not match its check sum: something in bytes "
          "1 to 10 of the text may be wrong");
  }
  std::string packed = whole;
  packed[12] = 'X';
  CHECK(unpacked(packed).fault == "the gzip data is damaged at its start");
}
