// SPDX-License-Identifier: Apache-2.0
// Lags of load, speed, standing and climbing, with the engine off left out.
#include "band/condition_walk.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// Faster than this no road climbs; a jump of the altitude is the receiver's, m/min.
constexpr double k_steepest_m_per_min = 300.0;
constexpr double k_longest_height_gap_s = 120.0;

std::optional<double> if_known(double value) {
  if (std::isnan(value)) return std::nullopt;
  return value;
}

} // namespace

std::string_view name_of(Factor factor) {
  switch (factor) {
  case Factor::coolant: return "coolant";
  case Factor::load_20s: return "load_20s";
  case Factor::load_60s: return "load_60s";
  case Factor::load_180s: return "load_180s";
  case Factor::speed: return "speed";
  case Factor::idle: return "idle";
  case Factor::climb: return "climb";
  }
  return "coolant";
}

/// Height gained since the block before, m/min.
double ConditionWalk::height_gain() {
  const std::size_t i = next_;
  const auto height_m = static_cast<double>(blocks_.altitude[i]);
  if (std::isnan(height_m)) return height_m;
  const double step_s = blocks_.end_s[i] - height_s_;
  const bool follows = !std::isnan(height_m_) && step_s > 0.0 && step_s <= k_longest_height_gap_s;
  const double gain = follows ? (height_m - height_m_) / step_s * 60.0 : std::nan("");
  height_m_ = height_m;
  height_s_ = blocks_.end_s[i];
  return std::clamp(gain, -k_steepest_m_per_min, k_steepest_m_per_min);
}

void ConditionWalk::step() {
  const std::size_t i = next_;
  const double end_s = blocks_.end_s[i];
  const auto speed = static_cast<double>(blocks_.speed[i]);
  const bool runs = blocks_.phase[i] != Phase::off;
  const double idle = std::isnan(speed) || !runs ? std::nan("")
                      : speed < k_standing_kmh   ? 1.0
                                                 : 0.0;
  const auto set = [&](Factor factor, double value) {
    values_[static_cast<std::size_t>(factor)] = value;
  };
  set(Factor::coolant, static_cast<double>(blocks_.coolant[i]));
  for (std::size_t l = 0; l < loads_.size(); ++l)
    values_[static_cast<std::size_t>(Factor::load_20s) + l] =
        loads_[l].next(static_cast<double>(blocks_.load[i]), end_s);
  set(Factor::speed, speed_.next(speed, end_s));
  set(Factor::idle, idle_.next(idle, end_s));
  set(Factor::climb, climb_.next(height_gain(), end_s));
  ++next_;
}

Conditions ConditionWalk::conditions() const {
  const std::size_t i = next_ - 1;
  Conditions conditions;
  conditions.load_pct = if_known(static_cast<double>(blocks_.load_lagged[i]));
  conditions.ambient_c = if_known(static_cast<double>(blocks_.ambient[i]));
  conditions.speed_kmh = if_known(value(Factor::speed));
  conditions.idle_share = if_known(value(Factor::idle));
  conditions.climb_m_per_min = if_known(value(Factor::climb));
  return conditions;
}

} // namespace coolband
