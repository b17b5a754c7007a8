// SPDX-License-Identifier: Apache-2.0
// Numbers that go through the same arithmetic side by side.
//
// What is calculated step by step waits for the step before; several such runs together keep the
// processor busy meanwhile. Every operation is the one of a single number, rounded as it is there:
// each lane holds the bits that it would hold alone, on any processor.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace coolband {

/// Four in two pairs, which is what every 64-bit processor takes at once. The pairs are members,
/// not an array: where the library checks bounds, every operation would go through a call.
class Lanes {
 public:
  static constexpr std::size_t k_count = 4;

  using Pair = double __attribute__((vector_size(16)));
  using PairMask = std::int64_t __attribute__((vector_size(16)));

  /// Which lanes something holds in: all bits of a lane, or none.
  struct Mask {
    PairMask front{};
    PairMask back{};

    friend bool any(const Mask& mask) {
      const PairMask all = mask.front | mask.back;
      return (all[0] | all[1]) != 0;
    }
  };

  Lanes() = default;
  /// The same in every lane.
  Lanes(double value) // NOLINT(google-explicit-constructor): a number is what it is beside lanes
      : front_{value, value}, back_{value, value} {}

  [[nodiscard]] double operator[](std::size_t lane) const {
    return lane < 2 ? front_[lane] : back_[lane - 2];
  }
  void set(std::size_t lane, double value) {
    if (lane < 2)
      front_[lane] = value;
    else
      back_[lane - 2] = value;
  }

  [[gnu::always_inline]] friend Lanes operator+(const Lanes& a, const Lanes& b) {
    return {a.front_ + b.front_, a.back_ + b.back_};
  }
  [[gnu::always_inline]] friend Lanes operator-(const Lanes& a, const Lanes& b) {
    return {a.front_ - b.front_, a.back_ - b.back_};
  }
  [[gnu::always_inline]] friend Lanes operator*(const Lanes& a, const Lanes& b) {
    return {a.front_ * b.front_, a.back_ * b.back_};
  }
  [[gnu::always_inline]] friend Lanes operator/(const Lanes& a, const Lanes& b) {
    return {a.front_ / b.front_, a.back_ / b.back_};
  }
  Lanes& operator+=(const Lanes& more) { return *this = *this + more; }

  [[gnu::always_inline]] friend Mask operator<(const Lanes& a, const Lanes& b) {
    return {PairMask(a.front_ < b.front_), PairMask(a.back_ < b.back_)};
  }
  [[gnu::always_inline]] friend Mask operator>=(const Lanes& a, const Lanes& b) {
    return {PairMask(a.front_ >= b.front_), PairMask(a.back_ >= b.back_)};
  }
  [[gnu::always_inline]] friend Mask operator!=(const Lanes& a, const Lanes& b) {
    return {PairMask(a.front_ != b.front_), PairMask(a.back_ != b.back_)};
  }

  /// `a` where it holds, else `b`.
  [[gnu::always_inline]] friend Lanes select(const Mask& mask, const Lanes& a, const Lanes& b) {
    return {chosen(mask.front, a.front_, b.front_), chosen(mask.back, a.back_, b.back_)};
  }
  [[gnu::always_inline]] friend Lanes magnitude(const Lanes& x) {
    constexpr PairMask k_but_sign{INT64_MAX, INT64_MAX};
    return {Pair(PairMask(x.front_) & k_but_sign), Pair(PairMask(x.back_) & k_but_sign)};
  }
  [[gnu::always_inline]] friend Lanes root(const Lanes& x) {
    return {Pair{std::sqrt(x.front_[0]), std::sqrt(x.front_[1])},
            Pair{std::sqrt(x.back_[0]), std::sqrt(x.back_[1])}};
  }

 private:
  Lanes(Pair front, Pair back) : front_(front), back_(back) {}

  [[gnu::always_inline]] static Pair chosen(PairMask mask, Pair a, Pair b) {
    return Pair((mask & PairMask(a)) | (~mask & PairMask(b)));
  }

  Pair front_{};
  Pair back_{};
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
