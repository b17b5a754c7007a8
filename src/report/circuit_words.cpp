// SPDX-License-Identifier: Apache-2.0
// Only what the drives identified is told as a figure; the rest is named as not shown.
#include "report/circuit_words.hpp"

#include <fmt/core.h>

#include <string>
#include <vector>

namespace coolband {

namespace {

using P = CircuitParameter;

std::string limits(const CircuitValue& value, double scale, int digits) {
  return fmt::format("{:.{}f} ({:.{}f} to {:.{}f})", value.value * scale, digits, value.low * scale,
                     digits, value.high * scale, digits);
}

std::string thermostat_words(const FittedCircuit& circuit) {
  const CircuitValue& opens = circuit[P::opens];
  if (!opens.identified) return {};
  std::string words = "begins to open at " + limits(opens, 1.0, 1) + " °C";
  if (circuit[P::span].identified)
    words += ", fully open " + limits(circuit[P::span], 1.0, 0) + " K above";
  if (circuit[P::hysteresis].identified)
    words += ", shuts " + limits(circuit[P::hysteresis], 1.0, 1) + " K lower";
  if (circuit[P::wax_lag].identified)
    words += "; follows after " + limits(circuit[P::wax_lag], 1.0, 0) + " s";
  return words;
}

std::string heat_words(const FittedCircuit& circuit) {
  std::string words;
  if (circuit[P::idle_heat].identified)
    words = limits(circuit[P::idle_heat], k_usual_capacity_kj_per_k, 1) + " kW without load";
  if (circuit[P::load_heat].identified && circuit.saw_load)
    words += (words.empty() ? "" : " and ") +
             limits(circuit[P::load_heat], k_usual_capacity_kj_per_k, 0) + " kW more at full load";
  if (words.empty()) return words;
  return words + fmt::format(", at 2000 rpm, if engine and coolant hold {:.0f} kJ/K",
                             k_usual_capacity_kj_per_k);
}

/// What needs what to be seen, for those who want to log more.
std::vector<std::string> not_shown(const FittedCircuit& circuit) {
  std::vector<std::string> missing{"heat capacity: temperatures tell heat only as a share of it"};
  const auto add = [&](P parameter, const char* words) {
    if (!circuit[parameter].identified) missing.emplace_back(words);
  };
  if (!circuit.saw_load)
    missing.emplace_back("heat by load: no load in most of the logs, so the road stands for it");
  else
    add(P::load_heat, "heat by load: the load varied too little");
  add(P::opens, "start of opening: no drive from cold to regulation, or too few");
  add(P::span, "opening span: needs light and heavy load once warm");
  add(P::hysteresis, "hysteresis of the thermostat");
  add(P::still_air, "radiator at a standstill: needs long hot idling");
  if (!circuit.saw_speed)
    missing.emplace_back("air flow by road speed: no speed in most of the logs");
  else
    add(P::ram_air, "air flow by road speed: needs the thermostat well open on the road");
  add(P::flow, "coolant flow through the radiator: needs the thermostat well open");
  add(P::heater, "cabin heater: needs drives in the cold");
  if (!circuit.saw_ambient)
    missing.emplace_back("weather: not in most of the logs, so a cold engine's own reading, or "
                         "15 °C, stands for it");
  return missing;
}

} // namespace

void add_circuit(Page& page, const FittedCircuit& circuit) {
  page.add("CIRCUIT",
           fmt::format("fitted to the beginning of {} drive{}, {:.1f} h: readings foretold to "
                       "{:.1f} K over 5 min",
                       circuit.drives, circuit.drives == 1 ? "" : "s", circuit.hours,
                       circuit.misfit_k));
  if (const auto words = thermostat_words(circuit); !words.empty()) page.add("THERMOSTAT", words);
  if (const auto words = heat_words(circuit); !words.empty()) page.add("HEAT", words);
  page.add_list("NOT SHOWN", not_shown(circuit));
}

} // namespace coolband
