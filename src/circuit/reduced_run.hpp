// SPDX-License-Identifier: Apache-2.0
// A run of the reduced circuit through a drive, or several side by side, block by block. Steps of a
// few seconds within each block; implicit where a small capacity meets a large flow.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "circuit/reduced_circuit.hpp"
#include "circuit/reduced_fault.hpp"
#include "circuit/share.hpp"
#include "core/lanes.hpp"
#include "core/portable_math.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <span>
#include <type_traits>

namespace coolband {

/// Longest step, s: a fifth of the wax element's usual lag.
inline constexpr double k_step_s = 2.5;
/// Radiator with its coolant over engine with its coolant: 18 kJ/K over 150 kJ/K (about 3.5 L and
/// 5 kg of metal; from memory).
inline constexpr double k_radiator_capacity = 0.12;
/// A circuit whose whole capacity moves with the coolant has no other half to divide by.
inline constexpr double k_most_near = 0.95;
/// The cabin heater is turned up as it gets colder (common practice, no source).
inline constexpr double k_heater_off_c = 18.0;
inline constexpr double k_heater_range_k = 13.0;
/// Vent hole of a shut valve, share of the flow (common practice, no source).
inline constexpr double k_vent = 0.005;
/// A fan is fully at work so far above the temperature at which it comes in (K), and goes out again
/// that much later, in parts of that range: an electric fan switches, a viscous clutch takes hold
/// by degrees (common practice, no source).
inline constexpr double k_fan_range_k = 2.0;
inline constexpr double k_fan_play = 2.0;
/// More friction and wall heat when cold: 44 % less friction at 80 than at 50 °C (Burke, warm-up
/// review) is an upper bound for the whole heat.
inline constexpr double k_cold_extra = 0.4;
inline constexpr double k_warm_c = 80.0;
/// A trial of the fit may be an impossible vehicle; it must not run away to infinity.
inline constexpr double k_coldest_c = -100.0;
inline constexpr double k_hottest_c = 400.0;

/// Two ways in parallel, one opening by a power of the lift as the other shuts.
inline double flow_share(double lift, double curve, double bypass) {
  if (lift <= 0.0) return 0.0;
  if (lift >= 1.0) return 1.0;
  return 1.0 / (1.0 + bypass * portable_pow(1.0 / lift - 1.0, curve));
}

inline double value_of(const CircuitValues& values, CircuitParameter parameter) {
  return values[static_cast<std::size_t>(parameter)];
}

inline double near_of(const CircuitValues& circuit) {
  return std::min(value_of(circuit, CircuitParameter::near), k_most_near);
}

/// How much more heat a cold engine takes and makes, as a factor.
template <class Real>
[[gnu::always_inline]] inline Real cold_factor(const Real& engine_c) {
  return 1.0 + k_cold_extra * share((k_warm_c - engine_c) / k_warm_c);
}

/// 0..1
inline double heater_on(double ambient_c) {
  return share((k_heater_off_c - ambient_c) / k_heater_range_k);
}

/// Wind and fan press on the same core: their pressures add up, so the squares of what each drives
/// through it alone do, nearly.
template <class Real>
[[gnu::always_inline]] inline Real driven_air(const Real& by_wind, const Real& by_fan) {
  const auto blows = Real(0.0) < by_fan;
  return any(blows) ? select(blows, root(by_wind * by_wind + by_fan * by_fan), by_wind) : by_wind;
}

/// All that the future depends on, beside the conditions.
template <class Real>
struct ReducedStateOf {
  Real engine_c = std::numeric_limits<double>::quiet_NaN(); ///< of what moves with the coolant
  Real metal_c = 0.0;
  Real radiator_c = 0.0;
  Real wax_c = 0.0;
  Real sensor_c = 0.0;
  Real asked = 0.0;        ///< lift that wax and spring ask for
  Real lift = 0.0;         ///< and where the valve stands, friction included
  Real fan = 0.0;          ///< 0..1, the fan at work
  Real unknown_heat = 0.0; ///< K/s
};
using ReducedState = ReducedStateOf<double>;

/// `Real`: double for one run, Lanes for `Lanes::k_count` of them. Inputs, and the faults and air
/// of the cases, must outlive it.
template <class Real>
class ReducedRunOf {
 public:
  static constexpr bool k_single = std::is_same_v<Real, double>;
  static constexpr std::size_t k_runs = k_single ? 1 : Lanes::k_count;

  ReducedRunOf(const CircuitInputs& inputs, const CircuitValues& circuit, const Observer& observer,
               const ReducedFault& fault) requires k_single
      : ReducedRunOf(inputs, std::array<ReducedCase, 1>{{{circuit, &fault, inputs.air}}},
                     observer) {}

  /// As many cases as there are runs.
  ReducedRunOf(const CircuitInputs& inputs, std::span<const ReducedCase, k_runs> cases,
               const Observer& observer)
      : inputs_(inputs), correction_s_(observer.correction_s),
        unknown_heat_s_(observer.unknown_heat_s) {
    for (std::size_t run = 0; run < k_runs; ++run) {
      faults_[run] = cases[run].fault;
      air_[run] = cases[run].air;
    }
    const auto own = [&](CircuitParameter parameter) {
      return gathered([&](std::size_t run) { return value_of(cases[run].circuit, parameter); });
    };
    const auto wrong = [&](double ReducedFault::*what) {
      return gathered([&](std::size_t run) { return faults_[run]->*what; });
    };
    idle_heat_ = own(CircuitParameter::idle_heat);
    load_heat_ = own(CircuitParameter::load_heat) * wrong(&ReducedFault::load_heat);
    loss_ = own(CircuitParameter::loss);
    wind_loss_ = own(CircuitParameter::wind_loss);
    heater_ = own(CircuitParameter::heater);
    near_ = gathered([&](std::size_t run) { return near_of(cases[run].circuit); });
    metal_ = own(CircuitParameter::metal);
    opens_c_ = own(CircuitParameter::opens) + wrong(&ReducedFault::opens_later_k);
    per_span_ = 1.0 / own(CircuitParameter::span);
    curve_ = own(CircuitParameter::curve);
    bypass_ = own(CircuitParameter::bypass);
    flow_ = own(CircuitParameter::flow) * wrong(&ReducedFault::flow);
    still_air_ = own(CircuitParameter::still_air) * wrong(&ReducedFault::still_air);
    ram_air_ = own(CircuitParameter::ram_air) * wrong(&ReducedFault::ram_air);
    fan_ = own(CircuitParameter::fan) * wrong(&ReducedFault::fan);
    fan_from_c_ = own(CircuitParameter::opens) + own(CircuitParameter::fan_after);
    play_ =
        (own(CircuitParameter::hysteresis) + wrong(&ReducedFault::more_hysteresis_k)) * per_span_;
    friction_ = wrong(&ReducedFault::friction);
    lift_at_least_ = wrong(&ReducedFault::lift_at_least);
    lift_at_most_ = most(lift_at_least_, wrong(&ReducedFault::lift_at_most));
    leak_ = wrong(&ReducedFault::leak);
    wax_lag_s_ = own(CircuitParameter::wax_lag) * wrong(&ReducedFault::wax_lag_factor);
    sensor_lag_s_ = own(CircuitParameter::sensor_lag) * wrong(&ReducedFault::sensor_lag_factor);
  }

  /// What the sensor shows in block i by what was known a block before; NaN where nothing was.
  Real foretell(std::size_t i) {
    // No run knows more than another whether there was a reading to begin with.
    if (inputs_.begins[i] != 0 || std::isnan(lane(state_.engine_c, 0))) {
      begin(i);
      return std::nan("");
    }
    const Real true_c = advance(i);
    return gathered([&](std::size_t run) { return faults_[run]->shown_c(lane(true_c, run)); });
  }
  /// Leads back by what it did show, after `foretell`.
  void learn(std::size_t i, const Real& shown_c) {
    if (std::isinf(correction_s_)) return;
    const Real deviation_k = inputs_.coolant_c[i] - shown_c;
    const double length_s = inputs_.length_s[i];
    // What is not itself is no number: there was no reading to be led back by.
    const Real part = select(deviation_k != deviation_k, Real(0.0),
                             deviation_k * length_s / (length_s + correction_s_));
    state_.engine_c += part;
    state_.metal_c += part;
    state_.wax_c += part;
    state_.sensor_c += part;
    if (!std::isinf(unknown_heat_s_)) state_.unknown_heat += part / unknown_heat_s_;
  }

  [[nodiscard]] const ReducedStateOf<Real>& state() const { return state_; }
  void set_state(const ReducedStateOf<Real>& state) { state_ = state; }

  [[nodiscard]] static double lane(const Real& value, std::size_t run) {
    if constexpr (k_single) {
      return value;
    } else {
      return value[run];
    }
  }

 private:
  /// What is asked of each run alone.
  template <class Ask>
  static Real gathered(Ask ask) {
    if constexpr (k_single) {
      return ask(0);
    } else {
      Real all;
      for (std::size_t run = 0; run < k_runs; ++run) all.set(run, ask(run));
      return all;
    }
  }

  void begin(std::size_t i) {
    const Real reading_c =
        gathered([&](std::size_t run) { return faults_[run]->true_c(inputs_.coolant_c[i]); });
    const double ambient_c = inputs_.ambient_c[i];
    state_.engine_c = state_.metal_c = state_.wax_c = state_.sensor_c = reading_c;
    // A warm engine has been regulating a while ago: its radiator is warm, too, if less so.
    state_.radiator_c = select(opens_c_ < reading_c, 0.5 * (reading_c + ambient_c),
                               least(reading_c, Real(ambient_c + 15.0)));
    state_.asked = 0.0;
    state_.lift = share((state_.wax_c - opens_c_) * per_span_);
    state_.fan = 0.0;
    state_.unknown_heat = 0.0;
    move_valve();
  }

  [[gnu::always_inline]] void move_valve() {
    const Real push = (state_.wax_c - opens_c_) * per_span_;
    state_.asked = most(share(push), least(state_.asked, share(push + play_)));
    state_.lift =
        select(magnitude(state_.asked - state_.lift) >= friction_, state_.asked, state_.lift);
    const Real warm = (state_.engine_c - fan_from_c_) / k_fan_range_k;
    state_.fan = most(share(warm), least(state_.fan, share(warm + k_fan_play)));
  }

  /// The radiator's share of the flow. A valve that is held by its play stands still for many
  /// steps.
  const Real& share_through() {
    const auto moved = state_.lift != share_for_lift_;
    if (!any(moved)) return share_through_;
    share_for_lift_ = state_.lift;
    const Real lift = between(state_.lift, lift_at_least_, lift_at_most_);
    const Real through = gathered([&](std::size_t run) {
      return flow_share(lane(lift, run), lane(curve_, run), lane(bypass_, run));
    });
    share_through_ = through + leak_ * (1.0 - through);
    return share_through_;
  }

  Real advance(std::size_t i) {
    const auto steps = static_cast<int>(std::ceil(inputs_.length_s[i] / k_step_s));
    const double step_s = inputs_.length_s[i] / steps;
    remember_lags(step_s);
    const double wind = inputs_.wind[i];
    const double turning = inputs_.turning[i];
    const double ambient_c = inputs_.ambient_c[i];
    const Real heat = turning * (idle_heat_ + load_heat_ * inputs_.load[i]);
    const Real loss = loss_ + wind_loss_ * wind + heater_ * heater_on(ambient_c);
    const Real ram_air = ram_air_ * gathered([&](std::size_t run) { return air_[run][i]; });
    const Real full_flow = flow_ * std::max(turning, 0.02);
    const double per_radiator = step_s / k_radiator_capacity;
    const Real per_near = step_s / near_;
    const Real per_metal = step_s / (1.0 - near_);
    const Real metal_left = 1.0 / (1.0 + per_metal * metal_);
    Real shown_sum = 0.0;
    for (int step = 0; step < steps; ++step) {
      const Real& through = share_through();
      const Real flow = full_flow * (k_vent + (1.0 - k_vent) * through);
      const Real air = still_air_ + driven_air<Real>(ram_air, fan_ * state_.fan);
      state_.radiator_c =
          (state_.radiator_c + per_radiator * (flow * state_.engine_c + air * ambient_c)) /
          (1.0 + per_radiator * (flow + air));
      const Real given = heat * cold_factor(state_.engine_c);
      state_.metal_c =
          metal_left * (state_.metal_c + per_metal * (given + metal_ * state_.engine_c));
      const Real gained = state_.unknown_heat + metal_ * state_.metal_c + flow * state_.radiator_c +
                          loss * ambient_c;
      state_.engine_c =
          (state_.engine_c + per_near * gained) / (1.0 + per_near * (metal_ + flow + loss));
      state_.engine_c = between<Real>(state_.engine_c, k_coldest_c, k_hottest_c);
      state_.wax_c += (state_.engine_c - state_.wax_c) * wax_gain_;
      state_.sensor_c += (state_.engine_c - state_.sensor_c) * sensor_gain_;
      shown_sum += state_.sensor_c;
      move_valve();
    }
    return shown_sum / steps;
  }

  void remember_lags(double step_s) {
    if (step_s == lags_for_s_) return;
    lags_for_s_ = step_s;
    const auto gain = [step_s](const Real& lag_s) {
      return gathered(
          [&](std::size_t run) { return 1.0 - portable_exp(-step_s / lane(lag_s, run)); });
    };
    wax_gain_ = gain(wax_lag_s_);
    sensor_gain_ = gain(sensor_lag_s_);
  }

  const CircuitInputs& inputs_;
  std::array<const ReducedFault*, k_runs> faults_{};
  std::array<std::span<const double>, k_runs> air_;
  double correction_s_, unknown_heat_s_;
  Real idle_heat_, load_heat_, loss_, wind_loss_, heater_, near_, metal_;
  Real opens_c_, per_span_, curve_, bypass_;
  Real flow_, still_air_, ram_air_, fan_, fan_from_c_;
  Real play_, friction_, lift_at_least_, lift_at_most_, leak_, wax_lag_s_, sensor_lag_s_;
  double lags_for_s_ = 0.0;
  Real wax_gain_ = 0.0, sensor_gain_ = 0.0;
  Real share_for_lift_ = std::numeric_limits<double>::quiet_NaN(), share_through_ = 0.0;
  ReducedStateOf<Real> state_;
};
using ReducedRun = ReducedRunOf<double>;

} // namespace coolband
