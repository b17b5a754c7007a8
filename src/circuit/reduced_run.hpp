// SPDX-License-Identifier: Apache-2.0
// One run of the reduced circuit through a drive, block by block. Steps of a few seconds within
// each block; implicit where a small capacity meets a large flow.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "circuit/reduced_circuit.hpp"
#include "circuit/reduced_fault.hpp"
#include "circuit/share.hpp"
#include "core/portable_math.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

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
inline double cold_factor(double engine_c) {
  return 1.0 + k_cold_extra * share((k_warm_c - engine_c) / k_warm_c);
}

/// 0..1
inline double heater_on(double ambient_c) {
  return share((k_heater_off_c - ambient_c) / k_heater_range_k);
}

/// Wind and fan press on the same core: their pressures add up, so the squares of what each drives
/// through it alone do, nearly.
inline double driven_air(double by_wind, double by_fan) {
  return by_fan > 0.0 ? std::sqrt(by_wind * by_wind + by_fan * by_fan) : by_wind;
}

/// All that the future depends on, beside the conditions.
struct ReducedState {
  double engine_c = std::numeric_limits<double>::quiet_NaN(); ///< of what moves with the coolant
  double metal_c = 0.0;
  double radiator_c = 0.0;
  double wax_c = 0.0;
  double sensor_c = 0.0;
  double asked = 0.0;        ///< lift that wax and spring ask for
  double lift = 0.0;         ///< and where the valve stands, friction included
  double fan = 0.0;          ///< 0..1, the fan at work
  double unknown_heat = 0.0; ///< K/s
};

class ReducedRun {
 public:
  ReducedRun(const CircuitInputs& inputs, const CircuitValues& circuit, const Observer& observer,
             const ReducedFault& fault)
      : inputs_(inputs), fault_(fault), idle_heat_(value_of(circuit, CircuitParameter::idle_heat)),
        load_heat_(value_of(circuit, CircuitParameter::load_heat) * fault.load_heat),
        loss_(value_of(circuit, CircuitParameter::loss)),
        wind_loss_(value_of(circuit, CircuitParameter::wind_loss)),
        heater_(value_of(circuit, CircuitParameter::heater)), near_(near_of(circuit)),
        metal_(value_of(circuit, CircuitParameter::metal)),
        opens_c_(value_of(circuit, CircuitParameter::opens) + fault.opens_later_k),
        per_span_(1.0 / value_of(circuit, CircuitParameter::span)),
        curve_(value_of(circuit, CircuitParameter::curve)),
        bypass_(value_of(circuit, CircuitParameter::bypass)),
        flow_(value_of(circuit, CircuitParameter::flow) * fault.flow),
        still_air_(value_of(circuit, CircuitParameter::still_air) * fault.still_air),
        ram_air_(value_of(circuit, CircuitParameter::ram_air) * fault.ram_air),
        fan_(value_of(circuit, CircuitParameter::fan) * fault.fan),
        fan_from_c_(value_of(circuit, CircuitParameter::opens) +
                    value_of(circuit, CircuitParameter::fan_after)),
        play_((value_of(circuit, CircuitParameter::hysteresis) + fault.more_hysteresis_k) *
              per_span_),
        wax_lag_s_(value_of(circuit, CircuitParameter::wax_lag) * fault.wax_lag_factor),
        sensor_lag_s_(value_of(circuit, CircuitParameter::sensor_lag) * fault.sensor_lag_factor),
        correction_s_(observer.correction_s), unknown_heat_s_(observer.unknown_heat_s) {}

  /// What the sensor shows in block i by what was known a block before; NaN where nothing was.
  double foretell(std::size_t i) {
    if (inputs_.begins[i] != 0 || std::isnan(state_.engine_c)) {
      begin(i);
      return std::nan("");
    }
    return fault_.shown_c(advance(i));
  }
  /// Leads back by what it did show, after `foretell`.
  void learn(std::size_t i, double shown_c) {
    correct(inputs_.coolant_c[i] - shown_c, inputs_.length_s[i]);
  }

  [[nodiscard]] const ReducedState& state() const { return state_; }
  void set_state(const ReducedState& state) { state_ = state; }

 private:
  void begin(std::size_t i) {
    const double reading_c = fault_.true_c(inputs_.coolant_c[i]);
    const double ambient_c = inputs_.ambient_c[i];
    state_.engine_c = state_.metal_c = state_.wax_c = state_.sensor_c = reading_c;
    // A warm engine has been regulating a while ago: its radiator is warm, too, if less so.
    const bool warm = reading_c > opens_c_;
    state_.radiator_c =
        warm ? 0.5 * (reading_c + ambient_c) : std::min(reading_c, ambient_c + 15.0);
    state_.asked = 0.0;
    state_.lift = share((state_.wax_c - opens_c_) * per_span_);
    state_.fan = 0.0;
    state_.unknown_heat = 0.0;
    move_valve();
  }

  void move_valve() {
    const double push = (state_.wax_c - opens_c_) * per_span_;
    state_.asked = std::max(share(push), std::min(state_.asked, share(push + play_)));
    if (std::abs(state_.asked - state_.lift) >= fault_.friction) state_.lift = state_.asked;
    const double warm = (state_.engine_c - fan_from_c_) / k_fan_range_k;
    state_.fan = std::max(share(warm), std::min(state_.fan, share(warm + k_fan_play)));
  }

  /// The radiator's share of the flow. A valve that is held by its play stands still for many
  /// steps.
  double share_through() {
    if (state_.lift != share_for_lift_) {
      share_for_lift_ = state_.lift;
      const double lift = std::clamp(state_.lift, fault_.lift_at_least,
                                     std::max(fault_.lift_at_least, fault_.lift_at_most));
      const double through = flow_share(lift, curve_, bypass_);
      share_through_ = through + fault_.leak * (1.0 - through);
    }
    return share_through_;
  }

  double advance(std::size_t i) {
    const auto steps = static_cast<int>(std::ceil(inputs_.length_s[i] / k_step_s));
    const double step_s = inputs_.length_s[i] / steps;
    remember_lags(step_s);
    const double wind = inputs_.wind[i];
    const double turning = inputs_.turning[i];
    const double heat = turning * (idle_heat_ + load_heat_ * inputs_.load[i]);
    const double ambient_c = inputs_.ambient_c[i];
    const double loss = loss_ + wind_loss_ * wind + heater_ * heater_on(ambient_c);
    const double ram_air = ram_air_ * inputs_.air[i];
    const double full_flow = flow_ * std::max(turning, 0.02);
    const double per_radiator = step_s / k_radiator_capacity;
    const double per_near = step_s / near_;
    const double per_metal = step_s / (1.0 - near_);
    const double metal_left = 1.0 / (1.0 + per_metal * metal_);
    double shown_sum = 0.0;
    for (int step = 0; step < steps; ++step) {
      const double through = share_through();
      const double flow = full_flow * (k_vent + (1.0 - k_vent) * through);
      const double air = still_air_ + driven_air(ram_air, fan_ * state_.fan);
      state_.radiator_c =
          (state_.radiator_c + per_radiator * (flow * state_.engine_c + air * ambient_c)) /
          (1.0 + per_radiator * (flow + air));
      const double given = heat * cold_factor(state_.engine_c);
      state_.metal_c =
          metal_left * (state_.metal_c + per_metal * (given + metal_ * state_.engine_c));
      const double gained = state_.unknown_heat + metal_ * state_.metal_c +
                            flow * state_.radiator_c + loss * ambient_c;
      state_.engine_c =
          (state_.engine_c + per_near * gained) / (1.0 + per_near * (metal_ + flow + loss));
      state_.engine_c = std::clamp(state_.engine_c, k_coldest_c, k_hottest_c);
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
    wax_gain_ = 1.0 - portable_exp(-step_s / wax_lag_s_);
    sensor_gain_ = 1.0 - portable_exp(-step_s / sensor_lag_s_);
  }

  void correct(double deviation_k, double length_s) {
    if (std::isnan(deviation_k) || std::isinf(correction_s_)) return;
    const double part = deviation_k * length_s / (length_s + correction_s_);
    state_.engine_c += part;
    state_.metal_c += part;
    state_.wax_c += part;
    state_.sensor_c += part;
    if (!std::isinf(unknown_heat_s_)) state_.unknown_heat += part / unknown_heat_s_;
  }

  const CircuitInputs& inputs_;
  const ReducedFault& fault_;
  double idle_heat_, load_heat_, loss_, wind_loss_, heater_, near_, metal_;
  double opens_c_, per_span_, curve_, bypass_;
  double flow_, still_air_, ram_air_, fan_, fan_from_c_;
  double play_, wax_lag_s_, sensor_lag_s_, correction_s_, unknown_heat_s_;
  double lags_for_s_ = 0.0, wax_gain_ = 0.0, sensor_gain_ = 0.0;
  double share_for_lift_ = std::numeric_limits<double>::quiet_NaN(), share_through_ = 0.0;
  ReducedState state_;
};

} // namespace coolband
