// SPDX-License-Identifier: Apache-2.0
// Random numbers that are the same on every machine, for methods that try a sample of choices.
#pragma once

#include <cstdint>

namespace coolband {

/// splitmix64 (Steele, Lea & Flood, OOPSLA 2014; from memory).
class SplitMix {
 public:
  explicit SplitMix(std::uint64_t seed) : state_(seed) {}

  std::uint64_t bits() {
    state_ += 0x9E3779B97F4A7C15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31U);
  }

  /// In [0, 1), a multiple of 2^-53.
  double share() { return static_cast<double>(bits() >> 11U) * 0x1.0p-53; }

 private:
  std::uint64_t state_;
};

} // namespace coolband
