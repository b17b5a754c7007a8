// SPDX-License-Identifier: Apache-2.0
// Whole predictions, and the laws of the circuit one by one.
#include "circuit/reduced_circuit.hpp"

#include "circuit/reduced_run.hpp"
#include "core/portable_math.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

std::vector<double> readings_of(ReducedRun run, std::size_t blocks) {
  std::vector<double> readings(blocks);
  for (std::size_t i = 0; i < blocks; ++i) {
    readings[i] = run.foretell(i);
    run.learn(i, readings[i]);
  }
  return readings;
}

} // namespace

const CircuitValues& usual_circuit() {
  // The same vehicle as the default of circuit.hpp, per 150 kJ/K.
  static const CircuitValues usual{0.025, 0.18, 1e-4, 1.3e-4, 3e-4,  0.3,    0.01,
                                   83.0,  11.0, 1.4,  8.0,    0.027, 0.0012, 0.0070,
                                   2.0,   12.0, 8.0,  0.0045, 14.0};
  return usual;
}

std::vector<double> predict_readings(const CircuitInputs& inputs, const CircuitValues& circuit,
                                     const Observer& observer, const ReducedFault& fault) {
  return readings_of(ReducedRun(inputs, circuit, observer, fault), inputs.size());
}

std::vector<std::vector<double>> predict_readings(const CircuitInputs& inputs,
                                                  std::span<const ReducedCase> cases,
                                                  const Observer& observer) {
  std::vector<std::vector<double>> readings(cases.size());
  for (auto& column : readings) column.resize(inputs.size());
  for (std::size_t from = 0; from < cases.size(); from += Lanes::k_count) {
    const std::size_t count = std::min(Lanes::k_count, cases.size() - from);
    if (count == 1) {
      const ReducedRun run(inputs, cases.subspan(from).first<1>(), observer);
      readings[from] = readings_of(run, inputs.size());
      continue;
    }
    // Lanes that are left over run with the last case, for nothing.
    std::array<ReducedCase, Lanes::k_count> together;
    for (std::size_t run = 0; run < together.size(); ++run)
      together[run] = cases[from + std::min(run, count - 1)];
    ReducedRunOf<Lanes> runs(inputs, together, observer);
    for (std::size_t i = 0; i < inputs.size(); ++i) {
      const Lanes shown_c = runs.foretell(i);
      runs.learn(i, shown_c);
      for (std::size_t run = 0; run < count; ++run) readings[from + run][i] = shown_c[run];
    }
  }
  return readings;
}

HeatRates heat_rates(const CircuitValues& circuit, const HeatConditions& conditions,
                     double metal_c) {
  HeatRates rates;
  rates.from_engine = cold_factor(conditions.coolant_c) * conditions.turning *
                      (value_of(circuit, CircuitParameter::idle_heat) +
                       value_of(circuit, CircuitParameter::load_heat) * conditions.load);
  rates.lost = (value_of(circuit, CircuitParameter::loss) +
                value_of(circuit, CircuitParameter::wind_loss) * conditions.wind +
                value_of(circuit, CircuitParameter::heater) * heater_on(conditions.ambient_c)) *
               (conditions.coolant_c - conditions.ambient_c);
  rates.from_metal = value_of(circuit, CircuitParameter::metal) * (metal_c - conditions.coolant_c);
  rates.near_capacity = near_of(circuit);
  return rates;
}

std::vector<double> metal_course(const CircuitInputs& inputs, const CircuitValues& circuit) {
  const double per_s = value_of(circuit, CircuitParameter::metal);
  const double lag_s = (1.0 - near_of(circuit)) / per_s;
  std::vector<double> course(inputs.size(), std::nan(""));
  double metal_c = std::nan("");
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    const double reading_c = inputs.coolant_c[i];
    const double before_c = metal_c;
    if (inputs.begins[i] != 0 || std::isnan(metal_c)) {
      course[i] = metal_c = reading_c;
      continue;
    }
    if (!std::isnan(reading_c)) {
      const HeatConditions conditions{reading_c, inputs.ambient_c[i], inputs.turning[i],
                                      inputs.load[i], inputs.wind[i]};
      const double rest_c =
          reading_c + heat_rates(circuit, conditions, metal_c).from_engine / per_s;
      metal_c += (rest_c - metal_c) * (1.0 - portable_exp(-inputs.length_s[i] / lag_s));
    }
    course[i] = 0.5 * (before_c + metal_c); // a reading is its block's mean
  }
  return course;
}

double valve_share(const CircuitValues& circuit, double wax_c) {
  const double lift = share((wax_c - value_of(circuit, CircuitParameter::opens)) /
                            value_of(circuit, CircuitParameter::span));
  return flow_share(lift, value_of(circuit, CircuitParameter::curve),
                    value_of(circuit, CircuitParameter::bypass));
}

double air_conductance(const CircuitValues& circuit, double air, double coolant_c) {
  const double fan_from_c =
      value_of(circuit, CircuitParameter::opens) + value_of(circuit, CircuitParameter::fan_after);
  const double by_fan =
      value_of(circuit, CircuitParameter::fan) * share((coolant_c - fan_from_c) / k_fan_range_k);
  return value_of(circuit, CircuitParameter::still_air) +
         driven_air(value_of(circuit, CircuitParameter::ram_air) * air, by_fan);
}

double radiator_conductance(const CircuitValues& circuit, double share, double turning,
                            double air_conductance) {
  const double flow =
      value_of(circuit, CircuitParameter::flow) * turning * (k_vent + (1.0 - k_vent) * share);
  return flow * air_conductance / (flow + air_conductance);
}

double steady_coolant_c(const CircuitValues& circuit, const HeatConditions& conditions) {
  const double air = air_of_wind(conditions.wind);
  const auto gains = [&](double coolant_c) {
    HeatConditions here = conditions;
    here.coolant_c = coolant_c;
    const HeatRates rates = heat_rates(circuit, here, coolant_c);
    const double carried =
        radiator_conductance(circuit, valve_share(circuit, coolant_c), conditions.turning,
                             air_conductance(circuit, air, coolant_c)) *
        (coolant_c - conditions.ambient_c);
    return rates.from_engine - rates.lost - carried;
  };
  // Less heat and more cooling the hotter it gets: one root.
  double low_c = conditions.ambient_c;
  double high_c = k_hottest_rest_c;
  if (gains(high_c) > 0.0) return high_c;
  while (high_c - low_c > 0.05) {
    const double middle_c = 0.5 * (low_c + high_c);
    (gains(middle_c) > 0.0 ? low_c : high_c) = middle_c;
  }
  return 0.5 * (low_c + high_c);
}

} // namespace coolband
