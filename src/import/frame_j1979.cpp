// SPDX-License-Identifier: Apache-2.0
// Reads service 01 responses: first the link around them, then PID by PID. Headers, identifiers and
// checksums are from memory of SAE J1850, ISO 9141-2, ISO 14230-2, ISO 15765-2 and ISO 15765-4.
#include "import/frame_j1979.hpp"

#include "import/frame_text.hpp"

#include <algorithm>
#include <array>
#include <numeric>

namespace coolband {

namespace {

using Bytes = std::span<const std::uint8_t>;

constexpr std::uint8_t k_current_data = 0x41; ///< response to service 01
constexpr std::uint8_t k_negative = 0x7F;
constexpr std::uint8_t k_last_service = 0x0A;
constexpr std::uint8_t k_response = 0x40; ///< added to the service in a response
constexpr std::uint8_t k_tester = 0xF1;

/// What an identifier column says.
struct Key {
  std::optional<std::uint8_t> pid;
  std::optional<std::uint32_t> can;
};

/// Identifiers of requests and responses with 11 bits.
bool is_diagnostic(std::uint32_t identifier) { return identifier >= 0x7DF && identifier <= 0x7EF; }
bool is_response(std::uint32_t identifier) {
  return (identifier >= 0x7E8 && identifier <= 0x7EF) || identifier >> 8U == 0x18DAF1;
}

bool is_response_service(std::uint8_t first) {
  return first == k_negative || (first > k_response && first <= k_response + k_last_service);
}

/// "0341057B 00000000": bytes in groups of four, and no identifier.
bool is_single_frame(std::uint32_t four_bytes) {
  const std::uint32_t length = four_bytes >> 24U;
  return length >= 2 && length <= 7 &&
         is_response_service(static_cast<std::uint8_t>(four_bytes >> 16U & 0xFFU));
}

std::size_t j1979_identifier_digits(const HexWord& first, bool alone) {
  const std::size_t digits = first.digits.size();
  if (first.extended) return digits;
  if (digits % 2 == 1 && digits >= 3 && digits != 7) {
    HexWord three = first;
    three.digits = first.digits.substr(0, 3);
    // Without blanks an odd number of digits begins with an identifier.
    return digits == 3 || is_diagnostic(three.value().value_or(0)) ? 3 : 0;
  }
  if (alone || digits > 8) return 0;
  const auto value = first.value();
  if (!value || *value > 0x1FFFFFFF) return 0;
  if (digits == 4) return is_diagnostic(*value) ? digits : 0;
  return digits == 7 || (digits == 8 && !is_single_frame(*value)) ? digits : 0;
}

/// Nothing for a cell that is neither PID nor identifier.
std::optional<Key> key_in_column(std::string_view text) {
  if (is_empty_identifier(text)) return Key{};
  std::array<char, 16> space{};
  const auto word = identifier_word(text, space);
  if (!word) return std::nullopt;
  const std::size_t digits = word->digits.size();
  const auto value = word->value();
  const auto decimal = decimal_of(*word);
  if (digits <= 2) return Key{static_cast<std::uint8_t>(value.value_or(0)), {}};
  if (digits == 3 && value <= k_most_standard) return Key{{}, value};
  const bool service_01 = value && (*value >> 8U == 0x01 || *value >> 8U == k_current_data);
  if (digits == 4 && service_01) return Key{static_cast<std::uint8_t>(*value & 0xFFU), {}};
  if (digits == 4 && is_diagnostic(*value)) return Key{{}, value};
  // A plain decimal number: of four digits for the identifiers of diagnosis, of nine for 29 bits.
  if (decimal && ((digits == 4 && *decimal <= k_most_standard) || digits == 9))
    return Key{{}, static_cast<std::uint32_t>(*decimal)};
  if ((digits == 7 || digits == 8) && value <= 0x1FFFFFFF) return Key{{}, value};
  return std::nullopt;
}

/// What fills a frame up to eight bytes.
bool is_padding(Bytes rest) {
  static constexpr auto fillers = std::to_array<std::uint8_t>({0x00, 0x55, 0xAA, 0xCC, 0xFF});
  return std::find(fillers.begin(), fillers.end(), rest[0]) != fillers.end() &&
         std::all_of(rest.begin(), rest.end(), [&](std::uint8_t byte) { return byte == rest[0]; });
}

void take_values(std::uint8_t pid, Bytes data, int source, std::vector<FrameValue>& values) {
  for (const StandardParameter& parameter : parameters_within(FrameStandard::j1979, pid)) {
    const bool supported =
        parameter.sensor == 0 || (unsigned{data[0]} >> (parameter.sensor - 1U) & 1U) != 0;
    const auto raw = raw_of(parameter, data);
    if (!supported || !raw) continue;
    FrameValue found{&parameter, parameter.sensor, source, state_of(parameter, *raw)};
    if (found.state == RawState::value) found.value = parameter.value_of(*raw);
    values.push_back(found);
  }
}

FrameOutcome outcome_of(const std::vector<FrameValue>& values) {
  return values.empty() ? FrameOutcome::nothing_known : FrameOutcome::decoded;
}

/// PID, data, PID, data ... `exact`: the link told the length, so there is no padding.
FrameOutcome read_pids(Bytes rest, bool exact, int source, std::vector<FrameValue>& values) {
  if (rest.empty()) return FrameOutcome::not_a_frame;
  bool first = true;
  while (!rest.empty()) {
    if (!first && !exact && is_padding(rest)) break;
    const auto length = data_bytes_of_pid(rest[0]);
    if (!length) break; // nobody knows where the next PID begins
    if (rest.size() <= *length) {
      values.clear();
      return FrameOutcome::not_a_frame;
    }
    take_values(rest[0], rest.subspan(1, *length), source, values);
    rest = rest.subspan(1 + *length);
    first = false;
  }
  return outcome_of(values);
}

FrameOutcome read_service(Bytes payload, bool exact, int source, std::vector<FrameValue>& values) {
  if (payload.empty()) return FrameOutcome::not_a_frame;
  const std::uint8_t service = payload[0];
  if (service == k_current_data) return read_pids(payload.subspan(1), exact, source, values);
  if (service == k_negative)
    return payload.size() >= 2 ? FrameOutcome::refused : FrameOutcome::not_a_frame;
  const bool request = service >= 1 && service <= k_last_service;
  return request || is_response_service(service) ? FrameOutcome::nothing_known
                                                 : FrameOutcome::not_a_frame;
}

/// The data of a CAN frame: a length and the response, or the response alone where a logger took
/// the length off.
FrameOutcome read_can(std::uint32_t identifier, Bytes data, std::vector<FrameValue>& values) {
  if (data.size() == 9 && data[0] == 8) data = data.subspan(1); // the number of bytes
  if (data.empty() || data.size() > 8) return FrameOutcome::not_a_frame;
  if (!is_response(identifier)) return FrameOutcome::nothing_known;
  const auto source = static_cast<int>(identifier);
  if (is_response_service(data[0])) return read_service(data, false, source, values);
  const unsigned kind = data[0] >> 4U;
  if (kind >= 1 && kind <= 3) return FrameOutcome::nothing_known; // part of a longer answer
  if (kind != 0 || data[0] == 0 || data[0] >= data.size()) return FrameOutcome::not_a_frame;
  const Bytes payload = data.subspan(1, data[0]);
  // Anything may be answered by these identifiers, services of other standards too.
  if (!is_response_service(payload[0])) return FrameOutcome::nothing_known;
  return read_service(payload, true, source, values);
}

/// One response behind three header bytes of SAE J1850 or ISO 9141-2, with or without checksum.
FrameOutcome read_behind_header(Bytes all, std::vector<FrameValue>& values) {
  Bytes payload = all.subspan(3);
  if (payload[0] == k_current_data && payload.size() > 1) {
    const auto length = data_bytes_of_pid(payload[1]);
    if (!length) return FrameOutcome::nothing_known;
    const std::size_t whole = 2 + *length;
    const Bytes before = all.first(all.size() - 1);
    const bool checked = payload.size() == whole + 1 &&
                         (all.back() == crc_of(before) || all.back() == sum_of(before));
    if (payload.size() != whole && !checked) return FrameOutcome::not_a_frame;
    payload = payload.first(whole);
  }
  return read_service(payload, true, all[2], values);
}

/// ISO 14230: the length in the first byte or in one behind the header, then the sum.
FrameOutcome read_keyword_frame(Bytes all, std::vector<FrameValue>& values) {
  const bool own_byte = (all[0] & 0x3FU) == 0;
  const std::size_t length = own_byte ? all[3] : all[0] & 0x3FU;
  const std::size_t head = own_byte ? 4 : 3;
  if (length == 0 || all.size() < head + length || all.size() > head + length + 1)
    return FrameOutcome::not_a_frame;
  const bool checked = all.size() > head + length;
  if (checked && all.back() != sum_of(all.first(all.size() - 1))) return FrameOutcome::not_a_frame;
  return read_service(all.subspan(head, length), true, all[2], values);
}

/// A CAN identifier spelled as bytes of its own: "18 DA F1 10", "00 00 07 E8", "07 E8". No response
/// and no request with data begins like that.
std::optional<std::uint32_t> take_identifier(Bytes& data) {
  std::size_t size = 0;
  if (data.size() > 4 && data[0] == 0x18 && (data[1] == 0xDA || data[1] == 0xDB)) size = 4;
  if (data.size() > 4 && data[0] == 0 && data[1] == 0 && data[2] == 7) size = 4;
  if (data.size() > 2 && data[0] == 7 && is_diagnostic(0x700U | data[1])) size = 2;
  if (size == 0) return std::nullopt;
  std::uint32_t identifier = 0;
  for (const std::uint8_t byte : data.first(size)) identifier = identifier << 8U | byte;
  data = data.subspan(size);
  return identifier;
}

/// A frame without CAN identifier in text or column.
FrameOutcome read_bare(Bytes data, std::vector<FrameValue>& values) {
  if (const auto identifier = take_identifier(data)) return read_can(*identifier, data, values);
  if (data.size() > 4) {
    const bool header = data[1] == 0x6B && data[0] == 0x48;
    // 41 6B may as well begin a response to PID 6B: only the checksum tells.
    const bool checked_header =
        data[1] == 0x6B && data[0] == 0x41 && data.back() == crc_of(data.first(data.size() - 1));
    if (header || checked_header) return read_behind_header(data, values);
    if (data[0] >= 0x80 && data[1] == k_tester) return read_keyword_frame(data, values);
  }
  const bool sized = data.size() > 2 && data[0] >= 2 && data[0] <= 7 && data[0] < data.size() &&
                     is_response_service(data[1]);
  if (sized) return read_service(data.subspan(1, data[0]), true, -1, values);
  return read_service(data, false, -1, values);
}

/// The data bytes of a PID alone, padded or not.
bool is_data_of(std::uint8_t pid, Bytes data) {
  const auto length = data_bytes_of_pid(pid);
  if (!length || data.size() < *length) return false;
  // "01 0C" is the request for 0C rather than 67 rpm; "7F 01 12" refuses it.
  const bool request = data.size() == 2 && data[0] == 0x01 && data[1] == pid;
  const bool refusal = data.size() == 3 && data[0] == k_negative && data[1] == 0x01;
  if (request || refusal) return false;
  return data.size() == *length || is_padding(data.subspan(*length));
}

/// The PID stands in a column: the frame has its data, or the whole response to it.
FrameOutcome read_pid(std::uint8_t pid, const FrameText& text, std::vector<FrameValue>& values) {
  if (!text.identifier && is_data_of(pid, text.data())) {
    take_values(pid, text.data(), -1, values);
    return outcome_of(values);
  }
  const FrameOutcome outcome = text.identifier ? read_can(*text.identifier, text.data(), values)
                                               : read_bare(text.data(), values);
  if (outcome == FrameOutcome::decoded && values.front().parameter->number != pid) {
    values.clear();
    return FrameOutcome::not_a_frame;
  }
  return outcome;
}

} // namespace

std::uint8_t crc_of(std::span<const std::uint8_t> bytes) {
  unsigned crc = 0xFF;
  for (const std::uint8_t byte : bytes) {
    crc ^= byte;
    for (int bit = 0; bit < 8; ++bit) crc = crc & 0x80U ? crc << 1U ^ 0x11DU : crc << 1U;
  }
  return static_cast<std::uint8_t>(crc ^ 0xFFU);
}

std::uint8_t sum_of(std::span<const std::uint8_t> bytes) {
  return static_cast<std::uint8_t>(std::accumulate(bytes.begin(), bytes.end(), 0U));
}

FrameOutcome decode_j1979(std::string_view identifier, std::string_view frame,
                          std::vector<FrameValue>& values) {
  const auto key = key_in_column(identifier);
  const auto text = read_frame_text(frame, j1979_identifier_digits);
  if (!key || !text || text->size == 0) return FrameOutcome::not_a_frame;
  if (key->pid) return read_pid(*key->pid, *text, values);
  const auto can = text->identifier ? text->identifier : key->can;
  return can ? read_can(*can, text->data(), values) : read_bare(text->data(), values);
}

} // namespace coolband
