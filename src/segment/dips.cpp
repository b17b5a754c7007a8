// SPDX-License-Identifier: Apache-2.0
// A fall that coolant cannot make, followed until the reading is back at its rim.
#include "segment/dips.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// Heat given over heat capacity, at most (domain practice: 30 kW net over 100 kJ/K).
constexpr double k_fastest_k_per_s = 0.3;
/// With the thermostat shut and the engine at work nothing makes the coolant fall at all; a driver
/// who stops for a moment may cost it this, K/s.
constexpr double k_fastest_shut_k_per_s = 0.1;
/// Blocks that start farther apart than this tell nothing of speed, s.
constexpr double k_longest_step_s = 15.0;
/// A wider hollow is another matter, s.
constexpr double k_longest_dip_s = 120.0;
constexpr double k_least_depth_k = 2.5;

class Finder {
 public:
  Finder(const Trip& trip, double shut_below_c)
      : blocks_(trip.blocks), resolution_k_(trip.resolution_c), shut_below_c_(shut_below_c) {
    found_.inside.assign(blocks_.size(), false);
  }

  Dips find() {
    for (std::size_t i = 1; i < blocks_.size(); ++i) {
      if (!follows(i)) continue;
      found_.seen = true;
      (shut(i - 1) ? found_.shut_s : found_.warm_s) += blocks_.start_s[i] - blocks_.start_s[i - 1];
      if (falls(i) && !found_.inside[i]) take(i);
    }
    return std::move(found_);
  }

 private:
  [[nodiscard]] double reading(std::size_t i) const {
    return static_cast<double>(blocks_.coolant[i]);
  }
  [[nodiscard]] bool runs(std::size_t i) const {
    return blocks_.phase[i] != Phase::off && !std::isnan(blocks_.coolant[i]);
  }
  [[nodiscard]] bool follows(std::size_t i) const {
    return runs(i) && runs(i - 1) &&
           blocks_.start_s[i] - blocks_.start_s[i - 1] <= k_longest_step_s;
  }
  [[nodiscard]] bool shut(std::size_t i) const { return reading(i) < shut_below_c_; }

  [[nodiscard]] bool falls(std::size_t i) const {
    const double step_s = blocks_.start_s[i] - blocks_.start_s[i - 1];
    const double fastest = shut(i - 1) ? k_fastest_shut_k_per_s : k_fastest_k_per_s;
    return reading(i - 1) - reading(i) > fastest * step_s + resolution_k_;
  }

  /// A dip that begins with block i, if it comes back to its rim in time.
  void take(std::size_t i) {
    const double rim_c = reading(i - 1);
    double deepest_c = reading(i);
    for (std::size_t k = i; k < blocks_.size() && follows(k); ++k) {
      if (blocks_.start_s[k] - blocks_.start_s[i - 1] > k_longest_dip_s) return;
      deepest_c = std::min(deepest_c, reading(k));
      const double depth_k = rim_c - deepest_c;
      if (reading(k) < rim_c - 0.3 * depth_k) continue;
      if (depth_k < k_least_depth_k + resolution_k_) return;
      std::fill(found_.inside.begin() + static_cast<std::ptrdiff_t>(i),
                found_.inside.begin() + static_cast<std::ptrdiff_t>(k), true);
      ++(shut(i - 1) ? found_.shut : found_.warm);
      return;
    }
  }

  const Blocks& blocks_;
  double resolution_k_;
  double shut_below_c_;
  Dips found_;
};

} // namespace

Dips find_dips(const Trip& trip, double shut_below_c) { return Finder(trip, shut_below_c).find(); }

} // namespace coolband
