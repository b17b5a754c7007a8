// SPDX-License-Identifier: Apache-2.0
// Three bytes to four letters and back.
#include "band/base64.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

namespace coolband {

namespace {

constexpr std::string_view k_letters =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

constexpr std::uint8_t k_no_letter = 255;

/// The place of each letter among them.
constexpr std::array<std::uint8_t, 256> k_places = [] {
  std::array<std::uint8_t, 256> places{};
  places.fill(k_no_letter);
  for (std::size_t i = 0; i < k_letters.size(); ++i)
    places[static_cast<unsigned char>(k_letters[i])] = static_cast<std::uint8_t>(i);
  return places;
}();

/// Four letters for three bytes.
void put_letters(std::uint32_t three, char* into) {
  for (unsigned k = 0; k < 4; ++k) into[k] = k_letters[three >> (18 - 6 * k) & 63U];
}

} // namespace

std::string to_base64(std::span<const std::uint8_t> bytes) {
  std::string text((bytes.size() + 2) / 3 * 4, '=');
  char* into = text.data();
  std::size_t i = 0;
  for (; i + 3 <= bytes.size(); i += 3, into += 4)
    put_letters(std::uint32_t{bytes[i]} << 16U | std::uint32_t{bytes[i + 1]} << 8U | bytes[i + 2],
                into);
  const std::size_t left = bytes.size() - i;
  if (left == 0) return text;
  std::uint32_t three = std::uint32_t{bytes[i]} << 16U;
  if (left == 2) three |= std::uint32_t{bytes[i + 1]} << 8U;
  put_letters(three, into);
  std::fill(into + left + 1, into + 4, '=');
  return text;
}

std::optional<std::vector<std::uint8_t>> from_base64(std::string_view text) {
  std::vector<std::uint8_t> bytes;
  if (text.size() % 4 != 0) return std::nullopt;
  bytes.reserve(text.size() / 4 * 3);
  for (std::size_t i = 0; i < text.size(); i += 4) {
    std::uint32_t three = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      const std::uint8_t place = k_places[static_cast<unsigned char>(text[i + k])];
      if (place == k_no_letter && text[i + k] != '=') return std::nullopt;
      three = three << 6U | (text[i + k] == '=' ? 0U : place);
    }
    for (unsigned k = 0; k < 3; ++k) bytes.push_back(three >> (16 - 8 * k) & 255U);
  }
  const std::size_t padding = text.size() - std::min(text.size(), text.find_last_not_of('=') + 1);
  if (padding > 2) return std::nullopt;
  bytes.resize(bytes.size() - padding);
  if (to_base64(bytes) != text) return std::nullopt;
  return bytes;
}

} // namespace coolband
