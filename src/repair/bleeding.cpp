// SPDX-License-Identifier: Apache-2.0
// Filling with bleed points open, heater hot, nose up where needed, level topped once the
// thermostat has opened; air leaves over several cycles: TM 5-4210-230-14&P-1. What follows from
// the side of the thermostat: common practice, no source.
#include "repair/bleeding.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string open_points(const JobFacts& facts) {
  if (facts.valve_side == ThermostatSide::outlet)
    return "thermostat at the outlet: open the bleed screw on or near its housing, else crack the "
           "top hose there; the thermostat's vent or pin sits at the top";
  if (facts.valve_side == ThermostatSide::inlet)
    return "thermostat at the inlet (low): air collects in the top hose and the heater; open the "
           "bleed screws there, and fill slowly until bubble-free coolant comes";
  return "layout not known: open every bleed screw (housing, top hose, heater hose); a thermostat "
         "with a vent or pin has it at the top";
}

std::string run_until_open(const JobFacts& facts) {
  const char* hose =
      facts.valve_side == ThermostatSide::inlet ? "the lower hose" : "the radiator's far side";
  const std::string opening =
      facts.opens_c ? fmt::format("about {:.0f} °C", *facts.opens_c) : "its opening temperature";
  return fmt::format(
      "cap as the maker says, idle to {}, until {} turns hot too: the thermostat has "
      "opened; watch the reading, stop if it climbs on",
      opening, hose);
}

} // namespace

std::vector<std::string> bleeding_steps(RepairKind kind, const JobFacts& facts) {
  if (kind == RepairKind::none || kind == RepairKind::fan) return {};
  std::vector<std::string> steps = {
      "nose up or on level ground, cabin heater set to hot, engine cold", open_points(facts),
      "fill slowly at the highest filler to the mark; close each screw when no bubbles come",
      run_until_open(facts),
      ("let it get cold, top up with the same mix; again after the first drives: air leaves over "
       "several warm-ups and cool-downs")};
  if (facts.mapped)
    steps.emplace_back("electrically heated thermostat, or an electric pump: the maker's bleeding "
                       "routine may need the scan tool");
  return steps;
}

} // namespace coolband
