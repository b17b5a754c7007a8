// SPDX-License-Identifier: Apache-2.0
// A fast fingerprint of content, to see that a file is still the one that was judged. It guards
// against accident, not against malice.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace coolband {

/// XXH64 with seed 0 (Collet's xxHash; the algorithm from memory, the values checked against
/// xxh64sum 0.8.1), fed piece by piece.
class ContentHash {
 public:
  void add(std::string_view bytes);
  [[nodiscard]] std::uint64_t value() const;

 private:
  static constexpr std::size_t k_stripe = 32;
  void take_stripe(const char* bytes);

  std::array<std::uint64_t, 4> lanes_{0x60EA27EEADC0B5D6ULL, 0xC2B2AE3D27D4EB4FULL, 0,
                                      0x61C8864E7A143579ULL};
  std::array<char, k_stripe> rest_{};
  std::size_t rest_size_ = 0;
  std::uint64_t total_ = 0;
};

std::uint64_t hash_of(std::string_view bytes);
/// Sixteen hexadecimal digits.
std::string hex_of(std::uint64_t hash);

} // namespace coolband
