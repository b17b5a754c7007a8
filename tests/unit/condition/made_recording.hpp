// SPDX-License-Identifier: Apache-2.0
// Recordings made by hand for the tests of the stages behind import.
#pragma once

#include "coolband/import/recording.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace coolband::testing {

inline constexpr float k_no_value = NAN;

/// Rows at the given instants; row 1 of the input lies in line 2, under the headings.
inline Recording made_recording(std::vector<double> time_s, std::vector<float> coolant_c) {
  Recording recording;
  recording.source = "made.csv";
  recording.time_s = std::move(time_s);
  recording.column(Role::coolant) = std::move(coolant_c);
  for (std::size_t i = 0; i < recording.size(); ++i) recording.row_map.add({i + 1, i + 2});
  return recording;
}

/// The same with one row every `period_s`.
inline Recording made_recording(double period_s, std::vector<float> coolant_c) {
  std::vector<double> time_s(coolant_c.size());
  for (std::size_t i = 0; i < time_s.size(); ++i) time_s[i] = period_s * static_cast<double>(i);
  return made_recording(std::move(time_s), std::move(coolant_c));
}

inline void fill(Recording& recording, Role role, float value) {
  recording.column(role).assign(recording.size(), value);
}

inline void append(std::vector<float>& column, std::size_t count, float value) {
  column.insert(column.end(), count, value);
}

/// `count` values from `from` towards `to`, evenly; `to` itself comes next.
inline void append_ramp(std::vector<float>& column, std::size_t count, float from, float to) {
  for (std::size_t i = 0; i < count; ++i)
    column.push_back(from + (to - from) * static_cast<float>(i) / static_cast<float>(count));
}

/// splitmix64: the same noise on every machine.
class Noise {
 public:
  explicit Noise(std::uint64_t seed) : state_(seed) {}

  /// Evenly within [-1, 1].
  double next() {
    state_ += 0x9E3779B97F4A7C15ULL;
    std::uint64_t bits = state_;
    bits = (bits ^ (bits >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    bits = (bits ^ (bits >> 27U)) * 0x94D049BB133111EBULL;
    bits ^= bits >> 31U;
    return static_cast<double>(bits >> 11U) * 0x1.0p-52 - 1.0;
  }

 private:
  std::uint64_t state_;
};

} // namespace coolband::testing
