// SPDX-License-Identifier: Apache-2.0
// Numbers that go through the same arithmetic side by side.
//
// What is calculated step by step waits for the step before; several such runs together keep the
// processor busy meanwhile. Every operation is the one of a single number, rounded as it is there:
// each lane holds the bits that it would hold alone, on any processor.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>

namespace coolband {

/// Pairs of them are what every 64-bit processor takes at once.
class Lanes {
 public:
  static constexpr std::size_t k_count = 4;

  using Pair = double __attribute__((vector_size(16)));
  using PairMask = std::int64_t __attribute__((vector_size(16)));
  static constexpr std::size_t k_pairs = k_count / 2;

  /// Which lanes something holds in: all bits of a lane, or none.
  struct Mask {
    std::array<PairMask, k_pairs> pairs{};

    friend bool any(const Mask& mask) {
      PairMask all = mask.pairs[0];
      for (std::size_t i = 1; i < k_pairs; ++i) all |= mask.pairs[i];
      return (all[0] | all[1]) != 0;
    }
  };

  Lanes() = default;
  /// The same in every lane.
  Lanes(double value) { // NOLINT(google-explicit-constructor): a number is what it is beside lanes
    for (Pair& pair : pairs_) pair = Pair{value, value};
  }

  [[nodiscard]] double operator[](std::size_t lane) const { return pairs_[lane / 2][lane % 2]; }
  void set(std::size_t lane, double value) { pairs_[lane / 2][lane % 2] = value; }

  [[gnu::always_inline]] friend Lanes operator+(const Lanes& a, const Lanes& b) {
    return each([&](std::size_t i) { return a.pairs_[i] + b.pairs_[i]; });
  }
  [[gnu::always_inline]] friend Lanes operator-(const Lanes& a, const Lanes& b) {
    return each([&](std::size_t i) { return a.pairs_[i] - b.pairs_[i]; });
  }
  [[gnu::always_inline]] friend Lanes operator*(const Lanes& a, const Lanes& b) {
    return each([&](std::size_t i) { return a.pairs_[i] * b.pairs_[i]; });
  }
  [[gnu::always_inline]] friend Lanes operator/(const Lanes& a, const Lanes& b) {
    return each([&](std::size_t i) { return a.pairs_[i] / b.pairs_[i]; });
  }
  Lanes& operator+=(const Lanes& more) { return *this = *this + more; }

  [[gnu::always_inline]] friend Mask operator<(const Lanes& a, const Lanes& b) {
    return where([&](std::size_t i) { return a.pairs_[i] < b.pairs_[i]; });
  }
  [[gnu::always_inline]] friend Mask operator>=(const Lanes& a, const Lanes& b) {
    return where([&](std::size_t i) { return a.pairs_[i] >= b.pairs_[i]; });
  }
  [[gnu::always_inline]] friend Mask operator!=(const Lanes& a, const Lanes& b) {
    return where([&](std::size_t i) { return a.pairs_[i] != b.pairs_[i]; });
  }

  /// `a` where it holds, else `b`.
  [[gnu::always_inline]] friend Lanes select(const Mask& mask, const Lanes& a, const Lanes& b) {
    return each([&](std::size_t i) {
      return Pair((mask.pairs[i] & PairMask(a.pairs_[i])) |
                  (~mask.pairs[i] & PairMask(b.pairs_[i])));
    });
  }
  [[gnu::always_inline]] friend Lanes magnitude(const Lanes& x) {
    constexpr PairMask k_but_sign{INT64_MAX, INT64_MAX};
    return each([&](std::size_t i) { return Pair(PairMask(x.pairs_[i]) & k_but_sign); });
  }
  [[gnu::always_inline]] friend Lanes root(const Lanes& x) {
    return each([&](std::size_t i) {
      return Pair{std::sqrt(x.pairs_[i][0]), std::sqrt(x.pairs_[i][1])};
    });
  }

 private:
  template <class Operation>
  [[gnu::always_inline]] static Lanes each(Operation operation) {
    Lanes result;
    for (std::size_t i = 0; i < k_pairs; ++i) result.pairs_[i] = operation(i);
    return result;
  }
  template <class Comparison>
  [[gnu::always_inline]] static Mask where(Comparison comparison) {
    Mask result;
    for (std::size_t i = 0; i < k_pairs; ++i) result.pairs[i] = PairMask(comparison(i));
    return result;
  }

  std::array<Pair, k_pairs> pairs_{};
};

// A single number is a lane, so that a run is written once for one and for several.

inline bool any(bool mask) { return mask; }
inline double select(bool mask, double a, double b) { return mask ? a : b; }
inline double magnitude(double x) { return std::abs(x); }
inline double root(double x) { return std::sqrt(x); }

/// As std::min, std::max and std::clamp order them, NaN included.
template <class Real>
[[gnu::always_inline]] inline Real least(const Real& a, const Real& b) {
  return select(b < a, b, a);
}
template <class Real>
[[gnu::always_inline]] inline Real most(const Real& a, const Real& b) {
  return select(a < b, b, a);
}
template <class Real>
[[gnu::always_inline]] inline Real between(const Real& x, const Real& low, const Real& high) {
  return select(x < low, low, select(high < x, high, x));
}

} // namespace coolband
