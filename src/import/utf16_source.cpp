// SPDX-License-Identifier: Apache-2.0
// Units and surrogate pairs as in RFC 2781, bytes as in RFC 3629.
#include "import/utf16_source.hpp"

#include <algorithm>
#include <cstring>

namespace coolband {

namespace {

constexpr std::size_t k_wide_block_bytes = std::size_t{64} * 1024;
constexpr char32_t k_replacement = 0xFFFD;

bool is_high_surrogate(char32_t unit) { return unit >= 0xD800 && unit < 0xDC00; }
bool is_low_surrogate(char32_t unit) { return unit >= 0xDC00 && unit < 0xE000; }

void append_utf8(std::string& text, char32_t character) {
  const auto tail = [&](unsigned shift) {
    text += static_cast<char>(0x80 | ((character >> shift) & 0x3F));
  };
  if (character < 0x80) {
    text += static_cast<char>(character);
  } else if (character < 0x800) {
    text += static_cast<char>(0xC0 | (character >> 6));
    tail(0);
  } else if (character < 0x10000) {
    text += static_cast<char>(0xE0 | (character >> 12));
    tail(6);
    tail(0);
  } else {
    text += static_cast<char>(0xF0 | (character >> 18));
    tail(12);
    tail(6);
    tail(0);
  }
}

} // namespace

Utf16Source::Utf16Source(ByteSource& wide, ByteOrder order)
    : wide_(&wide), order_(order), input_(k_wide_block_bytes) {}

Result<std::size_t> Utf16Source::read(char* into, std::size_t size) {
  while (handed_ == text_.size() && !ended_) {
    if (auto error = refill()) return *error;
  }
  const std::size_t count = std::min(size, text_.size() - handed_);
  if (count > 0) std::memcpy(into, text_.data() + handed_, count);
  handed_ += count;
  return count;
}

std::optional<Error> Utf16Source::refill() {
  const std::size_t kept = odd_ ? 1 : 0;
  const auto got = wide_->read(input_.data() + kept, input_.size() - kept);
  if (!got) return got.error();
  text_.clear();
  handed_ = 0;
  if (*got == 0)
    take_end();
  else
    take(kept + *got);
  return std::nullopt;
}

void Utf16Source::take(std::size_t size) {
  const std::size_t first = order_ == ByteOrder::little ? 0 : 1;
  for (std::size_t at = 0; at + 1 < size; at += 2) {
    const auto low = static_cast<unsigned char>(input_[at + first]);
    const auto high = static_cast<unsigned char>(input_[at + 1 - first]);
    take_unit(static_cast<char32_t>(high << 8 | low));
  }
  odd_ = size % 2 == 1;
  if (odd_) input_[0] = input_[size - 1];
}

void Utf16Source::take_unit(char32_t unit) {
  if (high_ != 0 && is_low_surrogate(unit)) {
    append_utf8(text_, 0x10000 + ((high_ - 0xD800) << 10) + (unit - 0xDC00));
    high_ = 0;
    return;
  }
  if (high_ != 0) put_damaged();
  high_ = 0;
  if (is_high_surrogate(unit))
    high_ = unit;
  else if (is_low_surrogate(unit))
    put_damaged();
  else
    append_utf8(text_, unit);
}

void Utf16Source::take_end() {
  ended_ = true;
  if (high_ != 0) put_damaged();
  if (odd_) put_damaged();
}

void Utf16Source::put_damaged() {
  append_utf8(text_, k_replacement);
  ++damaged_;
}

} // namespace coolband
