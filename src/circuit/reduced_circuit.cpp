// SPDX-License-Identifier: Apache-2.0
// Steps of a few seconds within each block; implicit where a small capacity meets a large flow.
#include "circuit/reduced_circuit.hpp"

#include "circuit/sensor.hpp"
#include "circuit/share.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// Longest step, s: a fifth of the wax element's usual lag.
constexpr double k_step_s = 2.5;
/// Radiator with its coolant over engine with its coolant: 18 kJ/K over 150 kJ/K (about 3.5 L and
/// 5 kg of metal; from memory).
constexpr double k_radiator_capacity = 0.12;
/// A circuit whose whole capacity moves with the coolant has no other half to divide by.
constexpr double k_most_near = 0.95;
/// The cabin heater is turned up as it gets colder (common practice, no source).
constexpr double k_heater_off_c = 18.0;
constexpr double k_heater_range_k = 13.0;
/// Vent hole of a shut valve, share of the flow (common practice, no source).
constexpr double k_vent = 0.005;
/// More friction and wall heat when cold: 44 % less friction at 80 than at 50 °C (Burke, warm-up
/// review) is an upper bound for the whole heat.
constexpr double k_cold_extra = 0.4;
constexpr double k_warm_c = 80.0;
/// A trial of the fit may be an impossible vehicle; it must not run away to infinity.
constexpr double k_coldest_c = -100.0;
constexpr double k_hottest_c = 400.0;
/// And a sensor's circuit is believed within its table only.
constexpr double k_coldest_coolant_c = -40.0;
constexpr double k_hottest_coolant_c = 140.0;

/// Two ways in parallel, one opening by a power of the lift as the other shuts.
double flow_share(double lift, double curve, double bypass) {
  if (lift <= 0.0) return 0.0;
  if (lift >= 1.0) return 1.0;
  return 1.0 / (1.0 + bypass * std::pow(1.0 / lift - 1.0, curve));
}

double at(const CircuitValues& values, CircuitParameter parameter) {
  return values[static_cast<std::size_t>(parameter)];
}

double near_of(const CircuitValues& circuit) {
  return std::min(at(circuit, CircuitParameter::near), k_most_near);
}

/// How much more heat a cold engine takes and makes, as a factor.
double cold_factor(double engine_c) {
  return 1.0 + k_cold_extra * share((k_warm_c - engine_c) / k_warm_c);
}

/// 0..1
double heater_on(double ambient_c) {
  return share((k_heater_off_c - ambient_c) / k_heater_range_k);
}

class ReducedCircuit {
 public:
  ReducedCircuit(const CircuitInputs& inputs, const CircuitValues& circuit,
                 const Observer& observer, const ReducedFault& fault)
      : inputs_(inputs), fault_(fault), idle_heat_(at(circuit, CircuitParameter::idle_heat)),
        load_heat_(at(circuit, CircuitParameter::load_heat)),
        loss_(at(circuit, CircuitParameter::loss)),
        wind_loss_(at(circuit, CircuitParameter::wind_loss)),
        heater_(at(circuit, CircuitParameter::heater)), near_(near_of(circuit)),
        inner_(at(circuit, CircuitParameter::inner)),
        opens_c_(at(circuit, CircuitParameter::opens) + fault.opens_later_k),
        per_span_(1.0 / at(circuit, CircuitParameter::span)),
        curve_(at(circuit, CircuitParameter::curve)),
        bypass_(at(circuit, CircuitParameter::bypass)), flow_(at(circuit, CircuitParameter::flow) * fault.flow),
        still_air_(at(circuit, CircuitParameter::still_air) * fault.still_air),
        ram_air_(at(circuit, CircuitParameter::ram_air) * fault.ram_air),
        play_((at(circuit, CircuitParameter::hysteresis) + fault.more_hysteresis_k) * per_span_),
        wax_lag_s_(at(circuit, CircuitParameter::wax_lag) * fault.wax_lag_factor),
        sensor_lag_s_(at(circuit, CircuitParameter::sensor_lag) * fault.sensor_lag_factor),
        correction_s_(observer.correction_s), unknown_heat_s_(observer.unknown_heat_s) {}

  /// What the sensor shows in block i, then led back by what it did show.
  double block(std::size_t i) {
    if (inputs_.begins[i] != 0 || std::isnan(engine_c_)) {
      begin(i);
      return std::nan("");
    }
    const double shown_c = fault_.shown_c(advance(i));
    correct(inputs_.coolant_c[i] - shown_c, inputs_.length_s[i]);
    return shown_c;
  }

 private:
  void begin(std::size_t i) {
    const double reading_c = fault_.true_c(inputs_.coolant_c[i]);
    const double ambient_c = inputs_.ambient_c[i];
    engine_c_ = inner_c_ = wax_c_ = sensor_c_ = reading_c;
    // A warm engine has been regulating a while ago: its radiator is warm, too, if less so.
    const bool warm = reading_c > opens_c_;
    radiator_c_ = warm ? 0.5 * (reading_c + ambient_c) : std::min(reading_c, ambient_c + 15.0);
    asked_ = 0.0;
    lift_ = share((wax_c_ - opens_c_) * per_span_);
    unknown_heat_ = 0.0;
    move_valve();
  }

  void move_valve() {
    const double push = (wax_c_ - opens_c_) * per_span_;
    asked_ = std::max(share(push), std::min(asked_, share(push + play_)));
    if (std::abs(asked_ - lift_) >= fault_.friction) lift_ = asked_;
  }

  /// The radiator's share of the flow.
  [[nodiscard]] double share_through() const {
    const double lift = std::clamp(lift_, fault_.lift_at_least,
                                   std::max(fault_.lift_at_least, fault_.lift_at_most));
    const double through = flow_share(lift, curve_, bypass_);
    return through + fault_.leak * (1.0 - through);
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
    const double air = still_air_ + ram_air_ * inputs_.air[i];
    const double full_flow = flow_ * std::max(turning, 0.02);
    const double per_radiator = step_s / k_radiator_capacity;
    const double per_near = step_s / near_;
    const double per_inner = step_s / (1.0 - near_);
    double shown_sum = 0.0;
    for (int step = 0; step < steps; ++step) {
      const double through = share_through();
      const double flow = full_flow * (k_vent + (1.0 - k_vent) * through);
      radiator_c_ = (radiator_c_ + per_radiator * (flow * engine_c_ + air * ambient_c)) /
                    (1.0 + per_radiator * (flow + air));
      const double cold = cold_factor(engine_c_);
      const double inward = inner_ * (engine_c_ - inner_c_);
      engine_c_ += per_near * (heat * cold + unknown_heat_ - flow * (engine_c_ - radiator_c_) -
                               loss * (engine_c_ - ambient_c) - inward);
      engine_c_ = std::clamp(engine_c_, k_coldest_c, k_hottest_c);
      inner_c_ += per_inner * inward;
      wax_c_ += (engine_c_ - wax_c_) * wax_gain_;
      sensor_c_ += (engine_c_ - sensor_c_) * sensor_gain_;
      shown_sum += sensor_c_;
      move_valve();
    }
    return shown_sum / steps;
  }

  void remember_lags(double step_s) {
    if (step_s == lags_for_s_) return;
    lags_for_s_ = step_s;
    wax_gain_ = 1.0 - std::exp(-step_s / wax_lag_s_);
    sensor_gain_ = 1.0 - std::exp(-step_s / sensor_lag_s_);
  }

  void correct(double deviation_k, double length_s) {
    if (std::isnan(deviation_k) || std::isinf(correction_s_)) return;
    const double part = deviation_k * length_s / (length_s + correction_s_);
    engine_c_ += part;
    inner_c_ += part;
    wax_c_ += part;
    sensor_c_ += part;
    if (!std::isinf(unknown_heat_s_)) unknown_heat_ += part / unknown_heat_s_;
  }

  const CircuitInputs& inputs_;
  const ReducedFault& fault_;
  double idle_heat_, load_heat_, loss_, wind_loss_, heater_, near_, inner_;
  double opens_c_, per_span_, curve_, bypass_;
  double flow_, still_air_, ram_air_;
  double play_, wax_lag_s_, sensor_lag_s_, correction_s_, unknown_heat_s_;
  double unknown_heat_ = 0.0; ///< K/s
  double lags_for_s_ = 0.0, wax_gain_ = 0.0, sensor_gain_ = 0.0;
  double engine_c_ = std::nan("");
  double inner_c_ = 0.0, radiator_c_ = 0.0, wax_c_ = 0.0, sensor_c_ = 0.0;
  double asked_ = 0.0; ///< lift that wax and spring ask for
  double lift_ = 0.0;
};

} // namespace

const CircuitValues& usual_circuit() {
  // The same vehicle as the default of circuit.hpp, per 150 kJ/K.
  static const CircuitValues usual{0.025, 0.18, 1e-4,  1.3e-4, 3e-4,   0.45, 0.005, 83.0, 11.0,
                                   1.4,   8.0,  0.027, 0.0030, 0.0070, 2.0,  12.0,  8.0};
  return usual;
}

double ReducedFault::shown_c(double true_c) const {
  if (series_ohm == 0.0 && leakage_per_ohm == 0.0) return true_c + offset_k;
  const double ohm = thermistor_ohm(true_c);
  return thermistor_c(1.0 / (1.0 / ohm + leakage_per_ohm) + series_ohm) + offset_k;
}

double ReducedFault::true_c(double shown_c) const {
  if (series_ohm == 0.0 && leakage_per_ohm == 0.0) return shown_c - offset_k;
  const double ohm = thermistor_ohm(shown_c - offset_k) - series_ohm;
  const double through = ohm > 0.0 ? 1.0 / ohm - leakage_per_ohm : 0.0;
  // A reading that no such circuit can show: as hot, or as cold, as a coolant may be.
  if (ohm <= 0.0) return k_hottest_coolant_c;
  if (through <= 0.0) return k_coldest_coolant_c;
  return std::clamp(thermistor_c(1.0 / through), k_coldest_coolant_c, k_hottest_coolant_c);
}

std::vector<double> predict_readings(const CircuitInputs& inputs, const CircuitValues& circuit,
                                     const Observer& observer, const ReducedFault& fault) {
  ReducedCircuit reduced(inputs, circuit, observer, fault);
  std::vector<double> readings(inputs.size());
  for (std::size_t i = 0; i < inputs.size(); ++i) readings[i] = reduced.block(i);
  return readings;
}

HeatRates heat_rates(const CircuitValues& circuit, const HeatConditions& conditions,
                     double inner_c) {
  HeatRates rates;
  rates.from_engine = cold_factor(conditions.coolant_c) * conditions.turning *
                      (at(circuit, CircuitParameter::idle_heat) +
                       at(circuit, CircuitParameter::load_heat) * conditions.load);
  rates.lost = (at(circuit, CircuitParameter::loss) +
                at(circuit, CircuitParameter::wind_loss) * conditions.wind +
                at(circuit, CircuitParameter::heater) * heater_on(conditions.ambient_c)) *
               (conditions.coolant_c - conditions.ambient_c);
  rates.inward = at(circuit, CircuitParameter::inner) * (conditions.coolant_c - inner_c);
  rates.near_capacity = near_of(circuit);
  return rates;
}

std::vector<double> inner_course(const CircuitInputs& inputs, const CircuitValues& circuit) {
  const double lag_s = (1.0 - near_of(circuit)) / at(circuit, CircuitParameter::inner);
  std::vector<double> course(inputs.size(), std::nan(""));
  double inner_c = std::nan("");
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    const double reading_c = inputs.coolant_c[i];
    if (inputs.begins[i] != 0 || std::isnan(inner_c))
      inner_c = reading_c;
    else if (!std::isnan(reading_c))
      inner_c += (reading_c - inner_c) * (1.0 - std::exp(-inputs.length_s[i] / lag_s));
    course[i] = inner_c;
  }
  return course;
}

double valve_share(const CircuitValues& circuit, double wax_c) {
  const double lift =
      share((wax_c - at(circuit, CircuitParameter::opens)) / at(circuit, CircuitParameter::span));
  return flow_share(lift, at(circuit, CircuitParameter::curve),
                    at(circuit, CircuitParameter::bypass));
}

double radiator_conductance(const CircuitValues& circuit, double share, double turning,
                            double air) {
  const double flow =
      at(circuit, CircuitParameter::flow) * turning * (k_vent + (1.0 - k_vent) * share);
  const double carried =
      at(circuit, CircuitParameter::still_air) + at(circuit, CircuitParameter::ram_air) * air;
  return flow * carried / (flow + carried);
}

} // namespace coolband
