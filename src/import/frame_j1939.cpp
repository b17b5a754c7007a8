// SPDX-License-Identifier: Apache-2.0
// Reads SAE J1939 frames; the layout of the identifier is from memory of SAE J1939-21.
#include "import/frame_j1939.hpp"

#include "import/frame_text.hpp"

#include <algorithm>

namespace coolband {

namespace {

using Bytes = std::span<const std::uint8_t>;

constexpr std::uint32_t k_identifier_bits = 0x1FFFFFFF;
constexpr std::uint32_t k_extended_flag = 0x80000000; ///< some loggers keep it in the same number
constexpr std::uint32_t k_most_pgn = 0x3FFFF;
constexpr std::uint32_t k_first_broadcast_format = 240;
constexpr std::size_t k_most_data = 8;

/// Group and sender.
struct Address {
  int pgn = -1;
  int source = -1;
};

/// Below format 240 the low byte is the address of the receiver and no part of the group.
int group_of(std::uint32_t pgn) {
  const bool has_receiver = (pgn >> 8U & 0xFFU) < k_first_broadcast_format;
  return static_cast<int>(has_receiver ? pgn & 0x3FF00U : pgn);
}

std::optional<Address> address_of(std::uint64_t identifier) {
  if (identifier > UINT32_MAX) return std::nullopt;
  const auto number = static_cast<std::uint32_t>(identifier) & ~k_extended_flag;
  if (number > k_identifier_bits) return std::nullopt;
  return Address{group_of(number >> 8U & k_most_pgn), static_cast<int>(number & 0xFFU)};
}

std::optional<Address> address_in_pgn(const HexWord& word) {
  const auto decimal = decimal_of(word);
  const std::uint64_t pgn = decimal ? *decimal : word.value().value_or(UINT32_MAX);
  if (pgn > k_most_pgn) return std::nullopt;
  return Address{group_of(static_cast<std::uint32_t>(pgn)), -1};
}

/// The cell of an identifier or PGN column.
std::optional<Address> address_in_column(std::string_view text) {
  std::array<char, 16> space{};
  const auto word = identifier_word(text, space);
  if (!word) return std::nullopt;
  const std::size_t digits = word->digits.size();
  if (digits == 7 || digits == 8) return address_of(word->value().value_or(UINT32_MAX));
  if (digits > 8) {
    const auto decimal = decimal_of(*word);
    return decimal ? address_of(*decimal) : std::nullopt;
  }
  return address_in_pgn(*word);
}

std::size_t j1939_identifier_digits(const HexWord& first, bool alone) {
  const std::size_t digits = first.digits.size();
  if (first.extended) return digits;
  // Without blanks: eight digits of identifier, then the data.
  if (alone) return digits > 2 * k_most_data && digits <= 8 + 2 * k_most_data ? 8 : 0;
  return digits == 3 || digits == 7 || digits == 8 ? digits : 0;
}

std::uint32_t big_endian(Bytes four) {
  return static_cast<std::uint32_t>(four[0]) << 24U | static_cast<std::uint32_t>(four[1]) << 16U |
         static_cast<std::uint32_t>(four[2]) << 8U | four[3];
}

/// The first of nine bytes may be the number of the others.
Bytes without_length(Bytes data) {
  return data.size() == k_most_data + 1 && data[0] == k_most_data ? data.subspan(1) : data;
}

std::optional<J1939Frame> frame_of(std::optional<Address> address, Bytes data) {
  if (!address || data.empty() || data.size() > k_most_data) return std::nullopt;
  J1939Frame frame{address->pgn, address->source, {}, data.size()};
  std::copy(data.begin(), data.end(), frame.bytes.begin());
  return frame;
}

/// The frame carries its identifier: as a word of its own, or as the first four of more than eight
/// bytes.
std::optional<J1939Frame> read_whole(const FrameText& text) {
  const Bytes data = text.data();
  if (text.identifier) {
    const bool other_network = *text.identifier <= k_most_standard;
    return frame_of(other_network ? Address{} : address_of(*text.identifier), without_length(data));
  }
  if (data.size() <= k_most_data) return std::nullopt;
  return frame_of(address_of(big_endian(data)), data.subspan(4));
}

/// "84FFFFFF FFFFFFFF": what looks like an identifier is the first half of the data.
bool is_in_halves(std::string_view cell) {
  HexScanner scanner(cell);
  HexWord word;
  std::size_t halves = 0;
  while (scanner.next(word) && word.digits.size() == k_most_data && !word.extended) ++halves;
  return halves == 2 && scanner.at_end();
}

/// The column names the group. The frame may do so again, and must agree then.
std::optional<J1939Frame> read_beside(std::string_view column, std::string_view cell,
                                      const FrameText& text) {
  const auto address = address_in_column(column);
  if (!address) return std::nullopt;
  const Bytes data = text.data();
  const bool spelled_out = !text.identifier && data.size() > 4;
  const auto inside = text.identifier ? address_of(*text.identifier)
                      : spelled_out   ? address_of(big_endian(data))
                                      : std::nullopt;
  if (inside && inside->pgn == address->pgn)
    return frame_of(inside, spelled_out ? data.subspan(4) : without_length(data));
  if (!text.identifier) return frame_of(address, without_length(data));
  if (!is_in_halves(cell)) return std::nullopt;
  const auto plain = read_frame_text(cell, [](const HexWord&, bool) -> std::size_t { return 0; });
  return plain ? frame_of(address, plain->data()) : std::nullopt;
}

} // namespace

std::optional<J1939Frame> read_j1939(std::string_view identifier, std::string_view frame) {
  const auto text = read_frame_text(frame, j1939_identifier_digits);
  if (!text) return std::nullopt;
  return is_empty_identifier(identifier) ? read_whole(*text)
                                         : read_beside(identifier, frame, *text);
}

FrameOutcome decode_j1939(std::string_view identifier, std::string_view frame,
                          std::vector<FrameValue>& values) {
  const auto read = read_j1939(identifier, frame);
  if (!read) return FrameOutcome::not_a_frame;
  for (const StandardParameter& parameter : parameters_within(FrameStandard::j1939, read->pgn)) {
    const auto raw = raw_of(parameter, read->data());
    if (!raw) continue;
    FrameValue found{&parameter, parameter.sensor, read->source, state_of(parameter, *raw)};
    if (found.state == RawState::value) found.value = parameter.value_of(*raw);
    values.push_back(found);
  }
  return values.empty() ? FrameOutcome::nothing_known : FrameOutcome::decoded;
}

} // namespace coolband
