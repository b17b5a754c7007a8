// SPDX-License-Identifier: Apache-2.0
// Random numbers for made drives.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>

namespace coolband::testing {

/// splitmix64: short, and the same on every machine, which std::distributions are not.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}

  double between(double low, double high) {
    state_ += 0x9E3779B97F4A7C15ULL;
    std::uint64_t bits = state_;
    bits = (bits ^ (bits >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    bits = (bits ^ (bits >> 27U)) * 0x94D049BB133111EBULL;
    bits ^= bits >> 31U;
    return low + (high - low) * static_cast<double>(bits >> 11U) * 0x1.0p-53;
  }

  std::size_t below(std::size_t count) {
    return std::min(count - 1, static_cast<std::size_t>(between(0.0, static_cast<double>(count))));
  }

 private:
  std::uint64_t state_;
};

} // namespace coolband::testing
