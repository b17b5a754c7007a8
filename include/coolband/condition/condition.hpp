// SPDX-License-Identifier: Apache-2.0
// Which readings can be believed. Nothing is removed: rows keep their index and get flags.
#pragma once

#include "coolband/import/recording.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

namespace coolband {

enum class Quality : std::uint8_t {
  good,
  missing,   ///< no value in this row
  off_scale, ///< a code, or beyond what a sensor can mean: open or shorted circuit, no value
  jump,      ///< moved faster than the heat capacity of an engine allows
};

/// Why a value was not believed. The codes are the raw values of SAE J1979 and SAE J1939-71 that
/// mean no quantity (J1939-71's table of signal ranges: from memory), met here already scaled.
enum class Oddity : std::uint8_t {
  none,
  lowest_code,   ///< -40 °C, raw 0 of a byte: an open circuit, or nothing measured
  error_code,    ///< J1939 raw FE, FE00 to FEFF: the sender knows of a fault
  not_available, ///< J1939 raw FF, FF00 to FFFF: nothing measured; J1979 FF: a shorted circuit
  reserved_code, ///< J1939 raw FB to FD: no quantity
  signed_end,    ///< 127, 128, 32767, -32768: the end of a signed number, often for "no value"
  zero_kelvin,   ///< raw 0 of a 16-bit reading
  zero,          ///< a jump to exactly 0, often written for "no value" (common practice, no source)
  out_of_range,  ///< physically impossible, though no known code
  jump,          ///< impossibly fast
};
inline constexpr std::size_t k_oddity_count = 10;

/// "lowest-code", "not-available", … as the JSON has them.
std::string_view name_of(Oddity oddity);

/// A run of rows in which the sensor, not the coolant, moved.
struct SensorEvent {
  Quality kind = Quality::jump;
  std::size_t first_row = 0; ///< index into the recording
  std::size_t last_row = 0;
  double from_c = 0.0; ///< last good reading before, °C; NaN when there was none
  double to_c = 0.0;   ///< reading farthest from it, °C
};

/// Limits for a believable coolant reading.
struct ConditionOptions {
  /// °C. -40 is the lowest value of the SAE J1979 and J1939 encodings and is what an open circuit
  /// reads; 150 is beyond any boiling point under a cap, and a shorted circuit reads above it.
  double lowest_c = -39.5;
  double highest_c = 150.0;
  /// A change is believed up to step_c + rate_c_per_s * seconds. 30 kW into 100 kJ/K is only
  /// 0.3 K/s; a cold slug at the first opening can bring 15 K in 10 s (common practice, no source).
  double step_c = 6.0;
  double rate_c_per_s = 1.5;
  /// A reading that may also be a code (127 or 128 °C, 254 or 255 °F) is believed only where the
  /// row before leads up to it at a rate that an engine has: step_c + this * seconds.
  double engine_rate_c_per_s = 0.3;
  /// A new level that holds this long (s) is taken as real again.
  double settle_s = 30.0;
  /// After a hole in the log a logger may still hold the old reading for this long (s) before it
  /// jumps to the new one: no jump is called then.
  double stale_s = 10.0;
};

struct ValueRange {
  float low = -1e30F;
  float high = 1e30F;
};

struct Conditioned {
  std::vector<Quality> coolant;    ///< one a row
  std::vector<SensorEvent> events; ///< in row order
  /// What the columns other than coolant can be believed to read, by Role. Road speeds from
  /// 254 km/h and engine speeds from 8128 rpm are codes of SAE J1939 unless the column was also
  /// seen just below them (from 230 km/h, 7000 rpm).
  std::array<ValueRange, k_role_count> believable{};
  /// Values outside of that, which are treated as missing, by Role.
  std::array<std::size_t, k_role_count> implausible{};

  /// False for NaN.
  [[nodiscard]] bool believes(Role role, float value) const {
    const ValueRange& range = believable[static_cast<std::size_t>(role)];
    return value >= range.low && value <= range.high;
  }
};

/// One pass over all rows.
Conditioned condition(const Recording& recording, const ConditionOptions& options = {});

/// True when `value` can be a reading of `role` at all (NaN cannot).
bool plausible(Role role, float value);

/// Why `value`, which was not believed, is odd. `unit` is the unit that the log was read in: a byte
/// that was never scaled shows in it. Never Oddity::none.
Oddity oddity_of(Role role, float value, std::string_view unit);
/// The same for a coolant reading; Oddity::none when it is good or missing.
Oddity oddity_of(Quality quality, float coolant_c, std::string_view unit);

} // namespace coolband
