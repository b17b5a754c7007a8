// SPDX-License-Identifier: Apache-2.0
// UTF-8 by hand, because a log may hold anything.
#include "core/code_point.hpp"

#include <array>
#include <cstdint>
#include <cstring>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Where the next byte stands, from `from` on, that is no printable character of ASCII or below
/// them.
std::size_t next_odd(std::string_view text, std::size_t from) {
  constexpr std::uint64_t k_high_bits = 0x8080808080808080U;
  constexpr std::uint64_t k_ones = 0x0101010101010101U;
  std::uint64_t word = 0;
  for (; from + sizeof word <= text.size(); from += sizeof word) {
    std::memcpy(&word, text.data() + from, sizeof word);
    if (((word | (word + k_ones)) & k_high_bits) != 0) break;
  }
  while (from < text.size() && static_cast<unsigned char>(text[from]) < 0x7F) ++from;
  return from;
}

} // namespace

CodePoint first_code_point(std::string_view text) {
  const auto byte = [&](std::size_t i) {
    return static_cast<char32_t>(static_cast<unsigned char>(text[i]));
  };
  const char32_t lead = byte(0);
  if (lead < 0x80) return {lead, 1, true};
  const std::size_t bytes = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || text.size() < bytes) return {};
  char32_t value = lead & (0x7FU >> bytes);
  for (std::size_t i = 1; i < bytes; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return {};
    value = (value << 6U) | (byte(i) & 0x3FU);
  }
  constexpr std::array<char32_t, 5> k_least{0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
  if (value < k_least[bytes] || value > 0x10FFFF || surrogate) return {};
  return {value, bytes, true};
}

bool is_steering(char32_t value) {
  const auto within = [&](char32_t from, char32_t to) { return value >= from && value <= to; };
  return value < 0x20 || within(0x7F, 0x9F) || value == 0x061C || within(0x200E, 0x200F) ||
         within(0x2028, 0x202E) || within(0x2066, 0x2069);
}

std::string without_steering(std::string json) {
  const auto needs_escape = [](const CodePoint& code) {
    return code.value >= 0x7F && is_steering(code.value);
  };
  std::string clean;
  std::size_t kept = 0; // nearly always nothing is to be done: no copy then
  for (std::size_t i = next_odd(json, 0); i < json.size(); i = next_odd(json, i)) {
    const CodePoint code = first_code_point(std::string_view(json).substr(i));
    if (needs_escape(code)) {
      clean.append(json, kept, i - kept);
      clean += fmt::format("\\u{:04x}", static_cast<unsigned>(code.value));
      kept = i + code.bytes;
    }
    i += code.bytes;
  }
  if (kept == 0) return json;
  return clean.append(json, kept);
}

} // namespace coolband
