// SPDX-License-Identifier: Apache-2.0
// Long descents and overrun.
#include "segment/cool_down.hpp"

#include "numeric/first_order_lag.hpp"

#include <cmath>

namespace coolband {

namespace {

constexpr double k_no_heat_load_pct = 10.0;
constexpr double k_descent_m_per_min = -30.0;
constexpr double k_descent_lag_s = 60.0;
/// Back within this of the level, K: half of what ends a warm-up, so that the two do not alternate.
constexpr double k_back_k = 1.5;
constexpr double k_longest_recovery_s = 300.0;

/// Whether the engine gives next to no heat, block after block; by load, else by height.
class HeatWatch {
 public:
  explicit HeatWatch(const Blocks& blocks) : blocks_(blocks) {}

  bool gives_none(std::size_t i) {
    const double climb = climb_.next(height_gain(i), blocks_.end_s[i]);
    const auto load = static_cast<double>(blocks_.load_lagged[i]);
    return std::isnan(load) ? climb <= k_descent_m_per_min : load < k_no_heat_load_pct;
  }

 private:
  /// m/min since the block before; NaN where it is not known.
  [[nodiscard]] double height_gain(std::size_t i) const {
    if (i == 0) return std::nan("");
    const double step_s = blocks_.end_s[i] - blocks_.end_s[i - 1];
    const auto gain_m = static_cast<double>(blocks_.altitude[i] - blocks_.altitude[i - 1]);
    return step_s > 0.0 ? gain_m / step_s * 60.0 : std::nan("");
  }

  const Blocks& blocks_;
  FirstOrderLag climb_{k_descent_lag_s};
};

} // namespace

void mark_cool_downs(Blocks& blocks, double level_c) {
  HeatWatch heat(blocks);
  bool cooling = false;
  double heat_back_s = 0.0; // since when the engine has given heat again
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const bool none = heat.gives_none(i);
    if (none) heat_back_s = blocks.end_s[i];
    if (blocks.phase[i] != Phase::warm) {
      cooling = false;
      continue;
    }
    const auto coolant = static_cast<double>(blocks.coolant[i]);
    const bool below = coolant < level_c - k_back_k; // not where there is no reading
    cooling = below && (none || (cooling && blocks.end_s[i] - heat_back_s <= k_longest_recovery_s));
    if (cooling) blocks.phase[i] = Phase::cool_down;
  }
}

} // namespace coolband
