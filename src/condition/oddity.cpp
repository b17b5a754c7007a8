// SPDX-License-Identifier: Apache-2.0
// Values that are codes, by what they mean: SAE J1979 service 01 scales a byte as A - 40 °C, SAE
// J1939-71 a byte as 1 °C a bit from -40 and two bytes as 0.03125 °C a bit from -273; of a byte
// FB to FD are reserved, FE is an error, FF is not available (range table: from memory).
#include "coolband/condition/condition.hpp"

#include <array>
#include <cmath>
#include <span>

namespace coolband {

namespace {

struct Code {
  double low;
  double high; ///< belongs to it
  Oddity oddity;
};

/// Loggers round: a code counts this far around its value.
constexpr double k_round = 0.3;

constexpr Code around(double value, Oddity oddity) {
  return {value - k_round, value + k_round, oddity};
}

constexpr auto k_temperature = std::to_array<Code>({
    around(-40.0, Oddity::lowest_code),
    {211.0 - k_round, 213.0 + k_round, Oddity::reserved_code},
    around(214.0, Oddity::error_code),
    around(215.0, Oddity::not_available),
    {1735.0 + k_round, 1759.0 - 0.02, Oddity::reserved_code},
    {1759.0 - 0.02, 1767.0 - 0.02, Oddity::error_code},
    {1767.0 - 0.02, 1775.0, Oddity::not_available},
    around(-273.0, Oddity::zero_kelvin),
});
constexpr auto k_percent = std::to_array<Code>({
    // One byte at 0.4 % a bit, and (engine load) at 1 % a bit.
    {100.4 - 0.05, 101.2 + 0.05, Oddity::reserved_code},
    around(101.6, Oddity::error_code),
    {101.9 + 0.05, 102.05, Oddity::not_available},
    {251.0, 253.0, Oddity::reserved_code},
    {254.0, 254.0, Oddity::error_code},
    {255.0, 255.0, Oddity::not_available},
});
constexpr auto k_speed = std::to_array<Code>({
    {251.0, 254.0 - 0.001, Oddity::reserved_code},
    {254.0 - 0.001, 255.0 - 0.001, Oddity::error_code},
    {255.0 - 0.001, 256.0, Oddity::not_available},
});
constexpr auto k_rpm = std::to_array<Code>({
    {8032.0, 8128.0 - 0.06, Oddity::reserved_code},
    {8128.0 - 0.06, 8160.0 - 0.06, Oddity::error_code},
    {8160.0 - 0.06, 8192.0, Oddity::not_available},
    around(16383.75, Oddity::not_available), // J1979: all bits of two bytes at 1/4 rpm
});
/// Numbers that were never scaled, in the log's own unit.
constexpr auto k_unscaled = std::to_array<Code>({
    {127.0, 128.0, Oddity::signed_end},
    {254.0, 254.0, Oddity::error_code},
    {255.0, 255.0, Oddity::not_available},
    {6553.5, 6553.5, Oddity::not_available},
    {32767.0, 32767.0, Oddity::signed_end},
    {-32768.0, -32768.0, Oddity::signed_end},
    {65024.0, 65279.0, Oddity::error_code},
    {65280.0, 65535.0, Oddity::not_available},
});

std::span<const Code> codes_of(Role role) {
  switch (role) {
  case Role::coolant:
  case Role::ambient:
  case Role::intake:
  case Role::oil: return k_temperature;
  case Role::load:
  case Role::throttle:
  case Role::fan: return k_percent;
  case Role::speed: return k_speed;
  case Role::rpm: return k_rpm;
  default: return {};
  }
}

Oddity found(std::span<const Code> codes, double value) {
  for (const Code& code : codes) {
    if (value >= code.low && value <= code.high) return code.oddity;
  }
  return Oddity::none;
}

} // namespace

std::string_view name_of(Oddity oddity) {
  switch (oddity) {
  case Oddity::none: return "none";
  case Oddity::lowest_code: return "lowest-code";
  case Oddity::error_code: return "error-code";
  case Oddity::not_available: return "not-available";
  case Oddity::reserved_code: return "reserved-code";
  case Oddity::signed_end: return "signed-end";
  case Oddity::zero_kelvin: return "zero-kelvin";
  case Oddity::zero: return "zero";
  case Oddity::out_of_range: return "out-of-range";
  case Oddity::jump: return "jump";
  }
  return "";
}

Oddity oddity_of(Role role, float value, std::string_view unit) {
  const auto own = static_cast<double>(value);
  const Oddity scaled = found(codes_of(role), own);
  if (scaled != Oddity::none) return scaled;
  double written = own;
  if (unit == "°F") written = own * 1.8 + 32.0;
  if (unit == "K") written = own + 273.15;
  // Back in the log's unit it is a whole number again, give or take a float's rounding.
  written = std::round(written * 100.0) / 100.0;
  const Oddity raw = found(k_unscaled, written);
  return raw != Oddity::none ? raw : Oddity::out_of_range;
}

Oddity oddity_of(Quality quality, float coolant_c, std::string_view unit) {
  if (quality == Quality::good || quality == Quality::missing) return Oddity::none;
  const Oddity oddity = oddity_of(Role::coolant, coolant_c, unit);
  if (quality == Quality::off_scale) return oddity;
  const double zero_c = unit == "°F" ? -32.0 / 1.8 : 0.0;
  return std::abs(static_cast<double>(coolant_c) - zero_c) < 1e-3 ? Oddity::zero : Oddity::jump;
}

} // namespace coolband
