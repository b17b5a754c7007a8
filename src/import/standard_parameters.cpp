// SPDX-License-Identifier: Apache-2.0
// The tables of the two standards: where each parameter stands and how it is scaled.
#include "import/standard_parameters.hpp"

#include <algorithm>
#include <array>

namespace coolband {

namespace {

constexpr auto k_1979 = FrameStandard::j1979;
constexpr auto k_1939 = FrameStandard::j1939;

// Names, scalings, byte positions and the number of data bytes are from memory of SAE J1979 /
// ISO 15031-5 service 01, SAE J1939-71 and J1939DA; tests/reference holds them against what could
// be read.

constexpr RawPlace byte(std::uint8_t first) { return {first, 8}; }
constexpr RawPlace word(std::uint8_t first) { return {first, 16}; }
constexpr RawPlace double_word(std::uint8_t first) { return {first, 32}; }

constexpr Scaling k_by_ones_1979{1, 1, 0, 0, 255};
constexpr Scaling k_degrees_1979{1, 1, -40, -40, 215};
constexpr Scaling k_percent_1979{100, 255, 0, 0, 100};

constexpr Scaling k_degrees_1939{1, 1, -40, -40, 210};
constexpr Scaling k_fine_degrees_1939{1, 32, -273, -273, 1735};
constexpr Scaling k_percent_1939{4, 10, 0, 0, 100};
constexpr Scaling k_rpm_1939{1, 8, 0, 0, 8031.875};
constexpr Scaling k_torque_1939{1, 1, -125, -125, 125};
constexpr Scaling k_hours_1939{1, 20, 0, 0, 210554060.75};

constexpr Scaling scaled(double scale, double divisor, double highest) {
  return {scale, divisor, 0, 0, highest};
}

// Which of two parameters is preferred: the one that measures the quantity itself to the one that
// stands in for it, then the finer one. SPN 1637 is the coolant in 1/32 °C where SPN 110 has whole
// degrees.
constexpr auto k_parameters = std::to_array<StandardParameter>({
    {k_1979, 0x04, 0, "Calculated Load Value", "%", Role::load, 1, byte(0), k_percent_1979},
    {k_1979, 0x05, 0, "Engine Coolant Temperature", "°C", Role::coolant, 1, byte(0),
     k_degrees_1979},
    {k_1979, 0x0B, 0, "Intake Manifold Absolute Pressure", "kPa", {}, 0, byte(0), k_by_ones_1979},
    {k_1979, 0x0C, 0, "Engine RPM", "rpm", Role::rpm, 1, word(0), scaled(1, 4, 16383.75)},
    {k_1979, 0x0D, 0, "Vehicle Speed", "km/h", Role::speed, 1, byte(0), k_by_ones_1979},
    {k_1979, 0x0F, 0, "Intake Air Temperature", "°C", Role::intake, 1, byte(0), k_degrees_1979},
    {k_1979, 0x10, 0, "Air Flow Rate", "", {}, 0, word(0), scaled(1, 100, 655.35)},
    {k_1979, 0x11, 0, "Absolute Throttle Position", "%", Role::throttle, 1, byte(0),
     k_percent_1979},
    {k_1979, 0x1F, 0, "Time Since Engine Start", "s", {}, 0, word(0), scaled(1, 1, 65535)},
    {k_1979, 0x2F, 0, "Fuel Level Input", "%", {}, 0, byte(0), k_percent_1979},
    {k_1979, 0x33, 0, "Barometric Pressure", "kPa", {}, 0, byte(0), k_by_ones_1979},
    {k_1979, 0x42, 0, "Control Module Voltage", "", {}, 0, word(0), scaled(1, 1000, 65.535)},
    {k_1979, 0x43, 0, "Absolute Load Value", "%", Role::load, 2, word(0), scaled(100, 255, 25700)},
    {k_1979, 0x46, 0, "Ambient Air Temperature", "°C", Role::ambient, 1, byte(0), k_degrees_1979},
    {k_1979, 0x5C, 0, "Engine Oil Temperature", "°C", Role::oil, 1, byte(0), {1, 1, -40, -40, 210}},
    {k_1979, 0x5E, 0, "Engine Fuel Rate", "", {}, 0, word(0), scaled(1, 20, 3212.75)},
    // Byte A tells by its lowest bits which of the two sensors there are.
    {k_1979, 0x67, 0, "Engine Coolant Temperature 1", "°C", Role::coolant, 2, byte(1),
     k_degrees_1979, 1},
    {k_1979, 0x67, 0, "Engine Coolant Temperature 2", "°C", Role::coolant, 3, byte(2),
     k_degrees_1979, 2},

    {k_1939, 110, 65262, "Engine Coolant Temperature", "°C", Role::coolant, 2, byte(0),
     k_degrees_1939},
    {k_1939, 174, 65262, "Engine Fuel Temperature 1", "°C", {}, 0, byte(1), k_degrees_1939},
    {k_1939, 175, 65262, "Engine Oil Temperature 1", "°C", Role::oil, 1, word(2),
     k_fine_degrees_1939},
    {k_1939, 52, 65262, "Engine Intercooler Temperature", "°C", {}, 0, byte(6), k_degrees_1939},
    {k_1939, 1637, 65129, "Engine Coolant Temperature (High Resolution)", "°C", Role::coolant, 1,
     word(2), k_fine_degrees_1939},
    {k_1939, 91, 61443, "Accelerator Pedal Position 1", "%", Role::throttle, 2, byte(1),
     k_percent_1939},
    {k_1939, 92, 61443, "Engine Percent Load At Current Speed", "%", Role::load, 1, byte(2),
     scaled(1, 1, 250)},
    {k_1939, 513, 61444, "Actual Engine - Percent Torque", "%", Role::load, 2, byte(2),
     k_torque_1939},
    {k_1939, 190, 61444, "Engine Speed", "rpm", Role::rpm, 1, word(3), k_rpm_1939},
    {k_1939, 84, 65265, "Wheel-Based Vehicle Speed", "km/h", Role::speed, 1, word(1),
     scaled(1, 256, 250.99609375)},
    {k_1939, 108, 65269, "Barometric Pressure", "kPa", {}, 0, byte(0), scaled(1, 2, 125)},
    {k_1939, 171, 65269, "Ambient Air Temperature", "°C", Role::ambient, 1, word(3),
     k_fine_degrees_1939},
    {k_1939, 172, 65269, "Engine Air Intake Temperature", "°C", Role::intake, 1, byte(5),
     k_degrees_1939},
    {k_1939, 105, 65270, "Engine Intake Manifold 1 Temperature", "°C", Role::intake, 2, byte(2),
     k_degrees_1939},
    {k_1939, 109, 65263, "Engine Coolant Pressure", "kPa", {}, 0, byte(6), scaled(2, 1, 500)},
    {k_1939, 111, 65263, "Engine Coolant Level", "%", {}, 0, byte(7), k_percent_1939},
    {k_1939, 975, 65213, "Estimated Percent Fan Speed", "%", Role::fan, 1, byte(0), k_percent_1939},
    {k_1939, 977, 65213, "Fan Drive State", "", {}, 0, {1, 4}, scaled(1, 1, 15)},
    {k_1939, 1639, 65213, "Fan Speed", "rpm", {}, 0, word(2), k_rpm_1939},
    {k_1939, 986, 57344, "Requested Percent Fan Speed", "%", Role::fan, 2, byte(0), k_percent_1939},
    {k_1939, 183, 65266, "Engine Fuel Rate", "", {}, 0, word(0), scaled(1, 20, 3212.75)},
    {k_1939,
     247,
     65253,
     "Engine Total Hours of Operation",
     "h",
     {},
     0,
     double_word(0),
     k_hours_1939},
});

/// Data bytes by PID. The fuel trims 06 to 09 are two bytes in engines of three or four banks only.
constexpr auto k_pid_bytes = std::to_array<std::uint8_t>({
    4, 4, 2, 2, 1, 1, 1, 1, 1, 1, 1, 1, 2, 1, 1, 1, // 00
    2, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2, 1, 1, 1, 2, // 10
    4, 2, 2, 2, 4, 4, 4, 4, 4, 4, 4, 4, 1, 1, 1, 1, // 20
    1, 2, 2, 1, 4, 4, 4, 4, 4, 4, 4, 4, 2, 2, 2, 2, // 30
    4, 4, 2, 2, 2, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 4, // 40
    4, 1, 1, 2, 2, 2, 2, 2, 2, 2, 1, 1, 1, 2, 2, 1, // 50
    4, 1, 1, 2, 5, 2, 5, 3,                         // 60
});

/// PGNs are 0 and up; -1 is no group.
constexpr int key_of(FrameStandard standard, int pid_or_pgn) {
  return standard == FrameStandard::j1979 ? -2 - pid_or_pgn : pid_or_pgn;
}

/// Of each parameter, close together: they are looked through for every frame.
constexpr auto keys_of_parameters() {
  std::array<int, k_parameters.size()> keys{};
  for (std::size_t i = 0; i < keys.size(); ++i) {
    const StandardParameter& parameter = k_parameters[i];
    const bool by_pid = parameter.standard == FrameStandard::j1979;
    keys[i] = key_of(parameter.standard, by_pid ? parameter.number : parameter.pgn);
  }
  return keys;
}
constexpr auto k_keys = keys_of_parameters();

} // namespace

std::span<const StandardParameter> standard_parameters() { return k_parameters; }

std::span<const StandardParameter> parameters_within(FrameStandard standard, int pid_or_pgn) {
  const int key = key_of(standard, pid_or_pgn);
  const auto first = std::find(k_keys.begin(), k_keys.end(), key);
  const auto last = std::find_if(first, k_keys.end(), [=](int k) { return k != key; });
  return standard_parameters().subspan(static_cast<std::size_t>(first - k_keys.begin()),
                                       static_cast<std::size_t>(last - first));
}

std::optional<std::size_t> data_bytes_of_pid(std::uint8_t pid) {
  if (pid >= k_pid_bytes.size()) return std::nullopt;
  return k_pid_bytes[pid];
}

std::optional<std::uint32_t> raw_of(const StandardParameter& parameter,
                                    std::span<const std::uint8_t> data) {
  if (data.size() < parameter.place.first_byte + parameter.bytes()) return std::nullopt;
  const auto field = data.subspan(parameter.place.first_byte, parameter.bytes());
  const bool high_first = parameter.standard == FrameStandard::j1979;
  std::uint64_t raw = 0;
  for (std::size_t i = 0; i < field.size(); ++i) {
    raw = raw << 8U | field[high_first ? i : field.size() - 1 - i];
  }
  const std::uint64_t mask = (std::uint64_t{1} << parameter.place.bits) - 1;
  return static_cast<std::uint32_t>(raw & mask);
}

RawState state_of(const StandardParameter& parameter, std::uint32_t raw) {
  if (parameter.standard == FrameStandard::j1939) {
    if (parameter.place.bits >= 8) {
      const std::uint32_t top = raw >> (parameter.place.bits - 8U);
      if (top == 0xFF) return RawState::not_available;
      if (top == 0xFE) return RawState::error;
      if (top > 0xFA) return RawState::reserved;
    } else {
      // Fields of bits: the highest number is "not available". The next lower one is "error" in two
      // bits; in the four of the fan drive state it is one of the states (from memory).
      const std::uint32_t most = (1U << parameter.place.bits) - 1;
      if (raw == most) return RawState::not_available;
      if (parameter.place.bits == 2 && raw == most - 1) return RawState::error;
    }
  }
  const double value = parameter.value_of(raw);
  const bool inside = value >= parameter.scaling.lowest && value <= parameter.scaling.highest;
  return inside ? RawState::value : RawState::reserved;
}

} // namespace coolband
