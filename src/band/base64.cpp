// SPDX-License-Identifier: Apache-2.0
// Three bytes to four letters and back.
#include "band/base64.hpp"

#include <algorithm>
#include <cstddef>

namespace coolband {

namespace {

constexpr std::string_view k_letters =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

} // namespace

std::string to_base64(std::span<const std::uint8_t> bytes) {
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t three = 0;
    for (std::size_t k = 0; k < 3; ++k) three = three << 8U | (k < count ? bytes[i + k] : 0U);
    for (std::size_t k = 0; k < 4; ++k)
      text += k <= count ? k_letters[three >> (18 - 6 * k) & 63U] : '=';
  }
  return text;
}

std::optional<std::vector<std::uint8_t>> from_base64(std::string_view text) {
  std::vector<std::uint8_t> bytes;
  if (text.size() % 4 != 0) return std::nullopt;
  bytes.reserve(text.size() / 4 * 3);
  for (std::size_t i = 0; i < text.size(); i += 4) {
    std::uint32_t three = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      const std::size_t letter = k_letters.find(text[i + k]);
      if (letter == std::string_view::npos && text[i + k] != '=') return std::nullopt;
      three = three << 6U | (text[i + k] == '=' ? 0U : static_cast<std::uint32_t>(letter));
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
