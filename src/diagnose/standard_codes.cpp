// SPDX-License-Identifier: Apache-2.0
// Trouble codes of SAE J2012 that correspond to a finding.
#include "diagnose/standard_codes.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

StandardCode code(const char* number, const char* title, std::string why) {
  return {"SAE J2012", number, title, std::move(why)};
}

StandardCode too_cold(const Judgement& judgement) {
  std::string why = "runs below its regulating temperature";
  if (judgement.regulation) {
    const RegulationCheck& check = *judgement.regulation;
    why = fmt::format("warmest sustained reading {:.1f} °C against a nominal {:.1f} °C; the "
                      "on-board monitor's limit is "
                      "11 °C below nominal, so it {}",
                      check.reached_c, check.nominal_c,
                      check.below_limit ? "should set this code" : "may stay silent");
  }
  return code("P0128",
              "Coolant thermostat (coolant temperature below thermostat regulating temperature)",
              why);
}

/// The letter of a circuit code tells the signal's polarity: an open circuit is a high signal and
/// reads cold, a short is a low signal and reads hot.
void add_sensor_codes(std::vector<StandardCode>& codes, const Trip& trip) {
  bool cold_rail = false;
  bool hot_rail = false;
  bool jumps = false;
  for (const SensorEvent& event : trip.sensor_events) {
    if (event.kind == Quality::jump)
      jumps = true;
    else
      (event.to_c < 0.0 ? cold_rail : hot_rail) = true;
  }
  if (cold_rail)
    codes.push_back(code("P0118", "Engine coolant temperature sensor 1 circuit high",
                         "reads as cold as an open circuit"));
  if (hot_rail)
    codes.push_back(code("P0117", "Engine coolant temperature sensor 1 circuit low",
                         "reads as hot as a shorted circuit"));
  if (jumps)
    codes.push_back(code("P0119",
                         "Engine coolant temperature sensor 1 circuit intermittent/erratic",
                         "jumps faster than coolant can"));
  if (codes.empty())
    codes.push_back(code("P0116", "Engine coolant temperature sensor 1 circuit range/performance",
                         "the reading is not plausible"));
}

} // namespace

std::vector<StandardCode> standard_codes(const Judgement& judgement, const Trip& trip) {
  std::vector<StandardCode> codes;
  switch (judgement.condition) {
  case Condition::thermostat_stuck_open: codes.push_back(too_cold(judgement)); break;
  case Condition::thermostat_sticking:
    if (judgement.regulation && judgement.regulation->below_limit)
      codes.push_back(too_cold(judgement));
    codes.push_back(
        code("P2181", "Cooling system performance", "regulates neither at nor near its level"));
    break;
  case Condition::thermostat_stuck_closed:
  case Condition::radiator_restricted:
  case Condition::coolant_flow_low:
  case Condition::air_or_low_coolant:
    codes.push_back(
        code("P2181", "Cooling system performance", "runs above its regulating temperature"));
    break;
  case Condition::fan_not_cooling:
    codes.push_back(
        code("P0483", "Fan performance / rationality check", "hot when standing, sound at speed"));
    break;
  case Condition::sensor_fault: add_sensor_codes(codes, trip); break;
  default: break;
  }
  if (judgement.action == Action::stop && judgement.condition != Condition::sensor_fault) {
    codes.push_back(code("P0217", "Engine coolant over-temperature condition",
                         "near boiling, or above the band and still rising"));
  }
  return codes;
}

} // namespace coolband
