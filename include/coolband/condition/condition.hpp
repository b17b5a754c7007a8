// SPDX-License-Identifier: Apache-2.0
// Which coolant readings can be believed. Nothing is removed: rows get flags.
#pragma once

#include "coolband/import/recording.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace coolband {

enum class Quality : std::uint8_t {
  good,
  missing,   ///< no value in this row
  off_scale, ///< at or beyond the end of what a sensor can mean: open or shorted circuit
  jump,      ///< moved faster than the heat capacity of an engine allows
};

/// A run of rows in which the sensor, not the coolant, moved.
struct SensorEvent {
  Quality kind = Quality::jump;
  std::size_t first_row = 0; ///< index into the recording
  std::size_t last_row = 0;
  double from_c = 0.0; ///< last good reading before, °C
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
  /// A new level that holds this long (s) is taken as real again.
  double settle_s = 30.0;
  /// After a hole in the log a logger may still hold the old reading for this long (s) before it
  /// jumps to the new one: no jump is called then.
  double stale_s = 10.0;
};

struct Conditioned {
  std::vector<Quality> coolant;    ///< one a row
  std::vector<SensorEvent> events; ///< in row order
  /// Values of other columns that are physically impossible and are treated as missing, by Role.
  std::array<std::size_t, k_role_count> implausible{};
};

Conditioned condition(const Recording& recording, const ConditionOptions& options = {});

/// True when `value` can be a reading of `role` at all (NaN cannot).
bool plausible(Role role, float value);

} // namespace coolband
