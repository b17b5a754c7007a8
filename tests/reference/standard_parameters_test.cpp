// SPDX-License-Identifier: Apache-2.0
// Every row of the tables of parameters against the standards: SAE J1979 / ISO 15031-5 service 01,
// and SAE J1939-71 with J1939DA.
//
// What could be read: the PIDs 04, 05, 0B, 0C, 0D, 0F, 10 and 11 in a public ISO 15031-5 table
// (blog.csdn.net 136609335); resolution, offset, range and group of every SPN in a public open
// table of SPNs. From memory of the standards: the other PIDs, the first byte of each SPN in its
// group, the range rule (the upper limits confirm it), and low byte first.
#include "import/standard_parameters.hpp"

#include "coolband/core/units.hpp"
#include "import/frame_decoder.hpp"
#include "import/frame_j1939.hpp"
#include "import/frame_j1979.hpp"

#include <doctest/doctest.h>
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

using namespace coolband;

namespace {

constexpr auto k_1979 = FrameStandard::j1979;
constexpr auto k_1939 = FrameStandard::j1939;

const StandardParameter& parameter_of(FrameStandard standard, int number, int sensor = 0) {
  for (const StandardParameter& parameter : standard_parameters()) {
    if (parameter.standard == standard && parameter.number == number && parameter.sensor == sensor)
      return parameter;
  }
  FAIL("no such parameter");
  return standard_parameters().front();
}

/// The value of one parameter in a frame; NaN when it is not there or no value.
double value_in(FrameStandard standard, std::string_view identifier, std::string_view frame,
                int number) {
  std::vector<FrameValue> values;
  decode_frame(standard, identifier, frame, values);
  for (const FrameValue& found : values) {
    if (found.parameter->number == number && found.state == RawState::value) return found.value;
  }
  return std::nan("");
}

// ---- SAE J1979 ----

using Formula = std::function<double(int a, int b)>;

struct PidRow {
  int pid;
  int bytes;
  Formula formula; ///< as the standard prints it, of the bytes A and B
  double lowest;
  double highest;
  std::string_view unit;
};

const std::vector<PidRow>& pid_rows() {
  static const std::vector<PidRow> rows{
      {0x04, 1, [](int a, int) { return a * 100.0 / 255.0; }, 0, 100, "%"},
      {0x05, 1, [](int a, int) { return a - 40.0; }, -40, 215, "°C"},
      {0x0B, 1, [](int a, int) { return a * 1.0; }, 0, 255, "kPa"},
      {0x0C, 2, [](int a, int b) { return (256.0 * a + b) / 4.0; }, 0, 16383.75, "rpm"},
      {0x0D, 1, [](int a, int) { return a * 1.0; }, 0, 255, "km/h"},
      {0x0F, 1, [](int a, int) { return a - 40.0; }, -40, 215, "°C"},
      {0x10, 2, [](int a, int b) { return (256.0 * a + b) / 100.0; }, 0, 655.35, ""}, // g/s
      {0x11, 1, [](int a, int) { return a * 100.0 / 255.0; }, 0, 100, "%"},
      {0x1F, 2, [](int a, int b) { return 256.0 * a + b; }, 0, 65535, "s"},
      {0x2F, 1, [](int a, int) { return a * 100.0 / 255.0; }, 0, 100, "%"},
      {0x33, 1, [](int a, int) { return a * 1.0; }, 0, 255, "kPa"},
      {0x42, 2, [](int a, int b) { return (256.0 * a + b) / 1000.0; }, 0, 65.535, ""}, // V
      {0x43, 2, [](int a, int b) { return (256.0 * a + b) * 100.0 / 255.0; }, 0, 25700, "%"},
      {0x46, 1, [](int a, int) { return a - 40.0; }, -40, 215, "°C"},
      {0x5C, 1, [](int a, int) { return a - 40.0; }, -40, 210, "°C"},
      {0x5E, 2, [](int a, int b) { return (256.0 * a + b) / 20.0; }, 0, 3212.75, ""}, // L/h
  };
  return rows;
}

void check_pid(const PidRow& row, int a, int b) {
  const std::string data =
      row.bytes == 1 ? fmt::format("{:02X}", a) : fmt::format("{:02X} {:02X}", a, b);
  const std::string frame = fmt::format("41 {:02X} {}", row.pid, data);
  const double value = value_in(k_1979, "", frame, row.pid);
  const double expected = row.formula(a, b);
  CAPTURE(frame);
  if (expected > row.highest + 1e-9) {
    REQUIRE(std::isnan(value));
  } else {
    REQUIRE(std::abs(value - expected) <= 1e-9);
    REQUIRE(value >= row.lowest);
  }
}

// ---- SAE J1939 ----

struct SpnRow {
  int spn;
  int pgn;
  int position; ///< first byte from 1, from memory
  int bits;
  double resolution;
  double offset;
  double lowest;
  double highest;
  std::string_view unit;
};

constexpr auto k_spn_rows = std::to_array<SpnRow>({
    {110, 65262, 1, 8, 1.0, -40, -40, 210, "°C"},
    {1637, 65129, 3, 16, 0.03125, -273, -273, 1735, "°C"},
    {175, 65262, 3, 16, 0.03125, -273, -273, 1735, "°C"},
    {174, 65262, 2, 8, 1.0, -40, -40, 210, "°C"},
    {52, 65262, 7, 8, 1.0, -40, -40, 210, "°C"},
    {92, 61443, 3, 8, 1.0, 0, 0, 250, "%"},
    {91, 61443, 2, 8, 0.4, 0, 0, 100, "%"},
    {190, 61444, 4, 16, 0.125, 0, 0, 8031.875, "rpm"},
    {513, 61444, 3, 8, 1.0, -125, -125, 125, "%"},
    {84, 65265, 2, 16, 1.0 / 256, 0, 0, 250.996, "km/h"},
    {171, 65269, 4, 16, 0.03125, -273, -273, 1735, "°C"},
    {172, 65269, 6, 8, 1.0, -40, -40, 210, "°C"},
    {108, 65269, 1, 8, 0.5, 0, 0, 125, "kPa"},
    {105, 65270, 3, 8, 1.0, -40, -40, 210, "°C"},
    {109, 65263, 7, 8, 2.0, 0, 0, 500, "kPa"},
    {111, 65263, 8, 8, 0.4, 0, 0, 100, "%"},
    {975, 65213, 1, 8, 0.4, 0, 0, 100, "%"},
    {1639, 65213, 3, 16, 0.125, 0, 0, 8031.875, "rpm"},
    {977, 65213, 2, 4, 1.0, 0, 0, 15, ""},
    {986, 57344, 1, 8, 0.4, 0, 0, 100, "%"},
    {183, 65266, 1, 16, 0.05, 0, 0, 3212.75, ""}, // L/h
    {247, 65253, 1, 32, 0.05, 0, 0, 210554060.75, "h"},
});

/// A frame in which one parameter has a raw value, and zeros stand everywhere else.
std::string frame_with(const SpnRow& row, std::uint32_t raw) {
  std::array<unsigned, 8> bytes{};
  auto at = static_cast<std::size_t>(row.position - 1);
  for (int bits = row.bits; bits > 0; bits -= 8, raw >>= 8U) bytes[at++] = raw & 0xFFU;
  std::string text;
  for (const unsigned byte : bytes) text += fmt::format("{:02X} ", byte);
  return text;
}

double spn_value(const SpnRow& row, std::uint32_t raw) {
  return value_in(k_1939, fmt::format("{}", row.pgn), frame_with(row, raw), row.spn);
}

const SpnRow& spn_row(int spn) {
  return *std::find_if(k_spn_rows.begin(), k_spn_rows.end(),
                       [spn](const SpnRow& row) { return row.spn == spn; });
}

/// Top byte of a number: the range rule is the same for every width from one byte up.
RawState state_by_rule(std::uint32_t top) {
  if (top <= 0xFA) return RawState::value;
  if (top <= 0xFD) return RawState::reserved; // FB is specific to the parameter, FC and FD reserved
  return top == 0xFE ? RawState::error : RawState::not_available;
}

} // namespace

// The eight PIDs of the public table and the rest, every value that the bytes can have.
TEST_CASE("every PID gives the standard's formula for all its raw values") {
  for (const PidRow& row : pid_rows()) {
    for (int a = 0; a < 256; ++a) {
      for (int b = 0; b < (row.bytes == 1 ? 1 : 256); b += row.bytes == 1 ? 1 : 15) {
        check_pid(row, a, b);
      }
    }
    const StandardParameter& parameter = parameter_of(k_1979, row.pid);
    CHECK(parameter.scaling.lowest == row.lowest);
    CHECK(parameter.scaling.highest == row.highest);
    CHECK(parameter.unit == row.unit);
    CHECK(data_bytes_of_pid(static_cast<std::uint8_t>(row.pid)) ==
          static_cast<std::size_t>(row.bytes));
  }
}

TEST_CASE("PID 67 carries two sensors behind a byte of support bits") {
  for (int raw = 0; raw < 256; ++raw) {
    std::vector<FrameValue> values;
    const std::string frame = fmt::format("41 67 03 {:02X} {:02X}", raw, 255 - raw);
    REQUIRE(decode_frame(k_1979, "", frame, values) == FrameOutcome::decoded);
    REQUIRE(values.size() == 2);
    CHECK((values[0].sensor == 1 && values[0].value == raw - 40.0));
    CHECK((values[1].sensor == 2 && values[1].value == 255 - raw - 40.0));
  }
}

TEST_CASE("worked values of service 01") {
  CHECK(value_in(k_1979, "", "41 04 80", 0x04) == doctest::Approx(50.196).epsilon(1e-5));
  CHECK(value_in(k_1979, "", "41 05 7B", 0x05) == 83);
  CHECK(value_in(k_1979, "", "41 05 00", 0x05) == -40);
  CHECK(value_in(k_1979, "", "41 05 FF", 0x05) == 215);
  CHECK(value_in(k_1979, "", "41 0C 1A F8", 0x0C) == 1726);
  CHECK(value_in(k_1979, "", "41 10 04 D2", 0x10) == 12.34);
  CHECK(value_in(k_1979, "", "41 1F 01 2C", 0x1F) == 300);
  CHECK(value_in(k_1979, "", "41 42 36 B0", 0x42) == 14.0);
  CHECK(value_in(k_1979, "", "41 43 00 66", 0x43) == 40);
  CHECK(value_in(k_1979, "", "41 46 3C", 0x46) == 20);
  CHECK(value_in(k_1979, "", "41 5C 82", 0x5C) == 90);
}

TEST_CASE("every SPN has the resolution, offset, range and group of SAE J1939") {
  for (const SpnRow& row : k_spn_rows) {
    CAPTURE(row.spn);
    const StandardParameter& parameter = parameter_of(k_1939, row.spn);
    CHECK(parameter.pgn == row.pgn);
    CHECK(parameter.place.first_byte == row.position - 1);
    CHECK(parameter.place.bits == row.bits);
    CHECK(parameter.value_of(1) - parameter.value_of(0) == doctest::Approx(row.resolution));
    CHECK(parameter.value_of(0) == row.offset);
    CHECK(parameter.scaling.lowest == row.lowest);
    // The tables round the upper limits: 1734.97 to 1735, 250.99609 to 250.996.
    CHECK(parameter.scaling.highest == doctest::Approx(row.highest).epsilon(1e-6));
    CHECK(parameter.unit == row.unit);
  }
  CHECK(standard_parameters().size() == pid_rows().size() + 2 + k_spn_rows.size());
}

TEST_CASE("every SPN is read where it stands, from the lowest to the highest value") {
  for (const SpnRow& row : k_spn_rows) {
    CAPTURE(row.spn);
    const std::uint32_t last =
        row.bits == 4 ? 14 : 0xFAFFFFFFU >> (32U - static_cast<unsigned>(row.bits));
    for (std::uint32_t step = 0; step <= 250; ++step) {
      const auto raw = static_cast<std::uint32_t>(std::uint64_t{last} * step / 250U);
      REQUIRE(spn_value(row, raw) ==
              doctest::Approx(raw * row.resolution + row.offset).epsilon(1e-12));
    }
    // The arithmetic that confirms the range rule: the last valid raw value is the upper limit.
    if (row.bits > 4) CHECK(std::abs(spn_value(row, last) - row.highest) <= row.resolution);
  }
}

TEST_CASE("encoded values of SAE J1939") {
  CHECK(spn_value(spn_row(110), 0x84) == 92);
  CHECK(spn_value(spn_row(171), 0x24A0) == 20);
  CHECK(spn_value(spn_row(175), 0x2F40) == 105);
  CHECK(spn_value(spn_row(1637), 0x2DB0) == 92.5);
  CHECK(spn_value(spn_row(190), 0x1F40) == 1000);
  CHECK(spn_value(spn_row(84), 0x5000) == 80);
  CHECK(spn_value(spn_row(975), 100) == 40);
  CHECK(spn_value(spn_row(108), 169) == 84.5);
  // Low byte first.
  CHECK(value_in(k_1939, "65269", "A9 FF FF A0 24 FF FF FF", 171) == 20);
  CHECK(value_in(k_1939, "61444", "FF FF FF 40 1F FF FF FF", 190) == 1000);
}

TEST_CASE(
    "the range rule holds for every raw value of one and two bytes, and by the top byte of four") {
  for (const SpnRow& row : k_spn_rows) {
    CAPTURE(row.spn);
    const StandardParameter& parameter = parameter_of(k_1939, row.spn);
    const auto shift = static_cast<unsigned>(row.bits) - 8U;
    if (row.bits == 4) continue;
    for (std::uint32_t top = 0; top < 256; ++top) {
      for (std::uint32_t low = 0; low <= (shift == 0 ? 0U : 0xFFU); ++low) {
        const std::uint32_t raw = top << shift | (shift == 24 ? low * 0x010101U : low);
        REQUIRE(state_of(parameter, raw) == state_by_rule(top));
      }
    }
  }
}

// Bit fields (from memory of SAE J1939-71): 00 off, 01 on, 10 error, 11 not available. In the four
// bits of the fan drive state 1110 is "other" and 1111 "not available".
TEST_CASE("the range rule of fields of bits") {
  StandardParameter two_bits = parameter_of(k_1939, 977);
  two_bits.place.bits = 2;
  CHECK(state_of(two_bits, 0) == RawState::value);
  CHECK(state_of(two_bits, 1) == RawState::value);
  CHECK(state_of(two_bits, 2) == RawState::error);
  CHECK(state_of(two_bits, 3) == RawState::not_available);
  const StandardParameter& fan_drive = parameter_of(k_1939, 977);
  for (std::uint32_t raw = 0; raw < 15; ++raw) CHECK(state_of(fan_drive, raw) == RawState::value);
  CHECK(state_of(fan_drive, 15) == RawState::not_available);
}

// What the marks would read as if they were scaled like temperatures and speeds (computed from the
// rule): none of it may come out.
TEST_CASE("error and not-available never come out as the temperatures that they would be") {
  for (const auto& [spn, error, missing] : {std::array<double, 3>{110, 214, 215},
                                            {175, 1759, 1767},
                                            {171, 1759, 1767},
                                            {1637, 1759, 1767},
                                            {190, 8128, 8160},
                                            {84, 254, 255}}) {
    const SpnRow& row = spn_row(static_cast<int>(spn));
    const StandardParameter& parameter = parameter_of(k_1939, row.spn);
    const auto raw_of_value = [&](double value) {
      return static_cast<std::uint32_t>(std::lround((value - row.offset) / row.resolution));
    };
    CAPTURE(row.spn);
    CHECK(state_of(parameter, raw_of_value(error)) == RawState::error);
    CHECK(state_of(parameter, raw_of_value(missing)) == RawState::not_available);
    CHECK(std::isnan(spn_value(row, raw_of_value(error))));
    CHECK(std::isnan(spn_value(row, raw_of_value(missing))));
  }
}

TEST_CASE("parameters of one group do not overlap, and their units are known") {
  for (const StandardParameter& parameter : standard_parameters()) {
    CAPTURE(parameter.name);
    if (!parameter.unit.empty()) CHECK(unit_named(parameter.unit).has_value());
    CHECK(parameter.role.has_value() == (parameter.tier > 0));
    const int group = parameter.standard == k_1979 ? parameter.number : parameter.pgn;
    for (const StandardParameter& other : parameters_within(parameter.standard, group)) {
      const bool before = parameter.place.first_byte + parameter.bytes() <= other.place.first_byte;
      const bool behind = other.place.first_byte + other.bytes() <= parameter.place.first_byte;
      CHECK((&other == &parameter || before || behind));
    }
    const auto group_members = parameters_within(parameter.standard, group);
    CHECK(std::any_of(group_members.begin(), group_members.end(),
                      [&](const StandardParameter& member) { return &member == &parameter; }));
  }
}

TEST_CASE("within a standard no two parameters of a role are equally good") {
  std::set<std::string> seen;
  for (const StandardParameter& parameter : standard_parameters()) {
    if (!parameter.role) continue;
    const std::string place = fmt::format("{} {} {}", parameter.standard == k_1979,
                                          name_of(*parameter.role), parameter.tier);
    CHECK_MESSAGE(seen.insert(place).second, place);
  }
}

// SAE J1939-21 (from memory): priority, reserved bit, data page, format, specific, source. The
// identifiers below are the usual spellings of the groups' default priorities.
TEST_CASE("the groups are found in 29-bit identifiers with their default priorities") {
  for (const auto& [identifier, pgn] : {std::pair<std::string_view, int>{"18FEEE00", 65262},
                                        {"18FE6900", 65129},
                                        {"0CF00300", 61443},
                                        {"0CF00400", 61444},
                                        {"18FEF100", 65265},
                                        {"18FEF500", 65269},
                                        {"18FEF600", 65270},
                                        {"18FEEF00", 65263},
                                        {"18FEBD00", 65213},
                                        {"18E0FF00", 57344},
                                        {"18FEF200", 65266},
                                        {"18FEE500", 65253}}) {
    const auto read = read_j1939(identifier, "00 00 00 00 00 00 00 00");
    REQUIRE(read.has_value());
    CHECK(read->pgn == pgn);
    CHECK(read->source == 0);
    CHECK(!parameters_within(k_1939, pgn).empty());
  }
}

// The catalogue value of CRC-8/SAE-J1850 over the text "123456789" is 4B (from memory).
TEST_CASE("the checksum of SAE J1850 gives the catalogued check value") {
  constexpr std::array<std::uint8_t, 9> digits{'1', '2', '3', '4', '5', '6', '7', '8', '9'};
  CHECK(crc_of(digits) == 0x4B);
}
