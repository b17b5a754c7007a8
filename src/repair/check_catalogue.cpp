// SPDX-License-Identifier: Apache-2.0
// The checks themselves. Minutes, tools and the chances of finding are common practice, no source;
// sources of figures stand beside them.
#include "repair/confirming_checks.hpp"

#include <initializer_list>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

using Checks = std::vector<ConfirmingCheck>;

CauseShares finds(std::initializer_list<std::pair<Condition, double>> chances) {
  CauseShares shares{};
  for (const auto& [condition, chance] : chances)
    shares.at(static_cast<std::size_t>(condition)) = chance;
  return shares;
}

void add_level_and_leaks(Checks& checks) {
  checks.push_back({"level-cold",
                    "coolant level, engine cold",
                    "read the mark on the tank; open the cap slowly only when the top hose is cold",
                    "below the mark: coolant is lost or air is in; oily or rusty: more is wrong",
                    "",
                    2,
                    0,
                    EngineState::cold,
                    {Hazard::hot_system},
                    finds({{Condition::air_or_low_coolant, 0.7}})});
  checks.push_back({"leak-look",
                    "weep hole, hoses, core, ground below",
                    "look for drips, crusts and wet carpet; feel hoses for soft spots",
                    "a trail from the pump's weep hole: its seal; elsewhere: where coolant goes",
                    "",
                    5,
                    0,
                    EngineState::cold,
                    {},
                    finds({{Condition::radiator_restricted, 0.1},
                           {Condition::coolant_flow_low, 0.3},
                           {Condition::air_or_low_coolant, 0.4}})});
}

void add_belt_and_core(Checks& checks) {
  checks.push_back(
      {"belt-by-hand",
       "belt, tensioner and pulleys by hand",
       "key out: press the belt, turn pulleys, rock the pump's shaft",
       "glaze, slack, play or a rough bearing: the pump may slip",
       "",
       5,
       0,
       EngineState::cold,
       {Hazard::self_starting_fan},
       finds({{Condition::fan_not_cooling, 0.1}, {Condition::coolant_flow_low, 0.5}})});
  checks.push_back(
      {"core-outside",
       "grille and core from outside",
       "look through the core against a light; look between condenser and radiator",
       "dirt, leaves, flat fins or a missing shroud: too little air passes",
       "",
       5,
       0,
       EngineState::cold,
       {Hazard::self_starting_fan},
       finds({{Condition::fan_not_cooling, 0.15}, {Condition::radiator_restricted, 0.5}})});
}

ConfirmingCheck fan_by_hand(std::optional<FanDrive> fan) {
  ConfirmingCheck check{"fan-by-hand",
                        "fan at rest",
                        "",
                        "",
                        "",
                        5,
                        0,
                        EngineState::cold,
                        {Hazard::self_starting_fan},
                        finds({{Condition::fan_not_cooling, 0.45}})};
  if (fan == FanDrive::viscous) {
    check.title = "fan and viscous clutch at rest";
    check.how = "turn the fan, rock it, look for oil at the clutch";
    check.shows = "no drag at all, play or oil: the clutch is worn";
  } else if (fan == FanDrive::electric) {
    check.title = "electric fan at rest";
    check.how = "unplug it, turn it, then look at fuse, relay and plug";
    check.shows = "a seized motor, a blown fuse or a burnt pin";
  } else {
    check.how = "turn it, rock it; viscous: feel its drag; electric: unplug it, see fuse and relay";
    check.shows = "cracked blades, no drag, a seized motor or a blown fuse";
  }
  return check;
}

ConfirmingCheck fan_hot_idle(std::optional<FanDrive> fan) {
  ConfirmingCheck check{"fan-hot-idle",
                        "fan on a hot engine",
                        "",
                        "",
                        "",
                        10,
                        0,
                        EngineState::hot,
                        {Hazard::running_engine, Hazard::self_starting_fan},
                        finds({{Condition::fan_not_cooling, 0.9}})};
  if (fan == FanDrive::viscous) {
    check.how = "idle until hot: the fan must begin to roar and pull; switch off: it stops at once";
    check.shows = "silent when hot, or spinning on for seconds: the clutch does not engage";
  } else {
    check.how = "idle until it should come in; air conditioning on brings most fans in too";
    check.shows = "it stays still while the reading climbs: motor, relay, switch or wiring";
  }
  return check;
}

/// The hose that stays cool until the valve opens.
std::string_view waiting_hose(const JobFacts& facts) {
  if (facts.valve_side == ThermostatSide::inlet) return "the lower radiator hose";
  if (facts.valve_side == ThermostatSide::outlet) return "the upper radiator hose";
  return "the radiator hose on the thermostat's housing";
}

void add_warm_ups(Checks& checks, const JobFacts& facts) {
  const std::string opens =
      facts.opens_c ? fmt::format("near {:.0f} °C", *facts.opens_c) : "near its rating";
  checks.push_back(
      {"hose-warm-up",
       "hose feel while it warms up",
       fmt::format("from cold, scan or briefly touch {} every minute", waiting_hose(facts)),
       fmt::format("sound: cool, then hot at once {}; warm from the start: the valve does "
                   "not shut; never hot: it does not open",
                   opens),
       "infrared thermometer or hand",
       15,
       2,
       EngineState::warming,
       {Hazard::running_engine},
       finds({{Condition::thermostat_stuck_open, 0.85},
              {Condition::thermostat_stuck_closed, 0.6},
              {Condition::thermostat_sticking, 0.3}})});
  checks.push_back({"sensor-cold-soak",
                    "sensor after a night's stand",
                    "before the first start compare it with the outside and intake air readings",
                    "over 10 K apart: leakage in its circuit; agreement clears only that (added "
                    "resistance reads true when cold)",
                    "scan tool or logger",
                    3,
                    2,
                    EngineState::cold,
                    {},
                    finds({{Condition::sensor_fault, 0.4}})});
}

void add_hot_flow(Checks& checks) {
  checks.push_back(
      {"heater-hot",
       "cabin heater at raised idle",
       "heater full on",
       "lukewarm while the engine is hot: too little flow, or air in the heater",
       "",
       3,
       0,
       EngineState::hot,
       {Hazard::running_engine},
       finds({{Condition::coolant_flow_low, 0.5}, {Condition::air_or_low_coolant, 0.4}})});
  checks.push_back({"hose-difference",
                    "both radiator hoses, engine hot",
                    "measure both hoses near the radiator, at idle and at raised idle",
                    "one hot, one cold: no coolant passes; both hot and alike: too little air "
                    "through the core",
                    "infrared thermometer",
                    5,
                    2,
                    EngineState::hot,
                    {Hazard::running_engine},
                    finds({{Condition::thermostat_stuck_open, 0.2},
                           {Condition::thermostat_stuck_closed, 0.8},
                           {Condition::thermostat_sticking, 0.2},
                           {Condition::radiator_restricted, 0.3},
                           {Condition::coolant_flow_low, 0.4},
                           {Condition::air_or_low_coolant, 0.1}})});
}

void add_hot_surfaces(Checks& checks) {
  checks.push_back(
      {"core-scan",
       "radiator scanned for cold spots",
       "engine off: scan the core in rows (on its own side of the fan)",
       "cold patches are blocked tubes; an even fall from inlet to outlet is sound",
       "infrared thermometer",
       10,
       2,
       EngineState::hot,
       {Hazard::self_starting_fan},
       finds({{Condition::radiator_restricted, 0.7}, {Condition::air_or_low_coolant, 0.1}})});
  checks.push_back({"sensor-compare",
                    "sensor against an independent thermometer",
                    "measure the housing beside the sensor (dull tape on bright metal)",
                    "more than 5 K apart and steady: the sensor or its wiring lies",
                    "infrared or contact thermometer",
                    5,
                    2,
                    EngineState::hot,
                    {Hazard::running_engine},
                    finds({{Condition::thermostat_stuck_open, 0.1},
                           {Condition::thermostat_stuck_closed, 0.1},
                           {Condition::thermostat_sticking, 0.1},
                           {Condition::sensor_fault, 0.7}})});
}

// Pressure test: 20 kPa above the cap, steady for 5 min, TM 5-3805-291-23-1. Cap valves: the form
// of TM 5-3895-359-14&P (a 7 psi cap opens from 6.25 to 7.5 psi; vacuum valve by 0.625 psi).
void add_pressure(Checks& checks, const JobFacts& facts) {
  const std::string cap =
      facts.cap_kpa ? fmt::format("{:.0f} kPa", *facts.cap_kpa) : "the pressure printed on it";
  const std::string test = facts.cap_kpa
                               ? fmt::format("{:.0f} kPa, 20 above the cap", *facts.cap_kpa + 20.0)
                               : "20 kPa above the cap's";
  checks.push_back(
      {"pressure-test",
       "pressure test, engine cold",
       fmt::format("pump up to {} (no more than the maker allows), wait 5 min", test),
       "steady: tight; falling and wet: the leak; falling and dry: a leak inside",
       "cooling system tester",
       15,
       10,
       EngineState::cold,
       {Hazard::hot_system, Hazard::poisonous_coolant},
       finds({{Condition::coolant_flow_low, 0.1}, {Condition::air_or_low_coolant, 0.8}})});
  checks.push_back(
      {"cap-test",
       "cap on the tester",
       fmt::format("it must hold nearly {} and let in air under suction", cap),
       "opening early: coolant boils and is lost; no suction valve: hoses collapse",
       "cooling system tester with cap adapter",
       5,
       5,
       EngineState::cold,
       {Hazard::hot_system},
       finds({{Condition::coolant_flow_low, 0.05}, {Condition::air_or_low_coolant, 0.3}})});
}

void add_gas_test(Checks& checks) {
  checks.push_back({"gas-test",
                    "combustion gas in the coolant",
                    "tester on the open neck, coolant well below it, engine warmed up from cold "
                    "with the cap off",
                    "a change of colour: gas from a cylinder, hence air in the coolant",
                    "combustion gas tester and fluid",
                    15,
                    15,
                    EngineState::warming,
                    {Hazard::hot_system, Hazard::running_engine},
                    finds({{Condition::air_or_low_coolant, 0.3}})});
}

void add_wiring(Checks& checks) {
  checks.push_back({"wiring-wiggle",
                    "sensor wiring and resistance",
                    "plug off: measure the sensor against the maker's table cold and hot; plug on: "
                    "wiggle plug and loom while watching the reading",
                    "a jump, green pins or a wrong resistance: wiring or sensor",
                    "multimeter, maker's table",
                    15,
                    3,
                    EngineState::any,
                    {},
                    finds({{Condition::sensor_fault, 0.85}})});
}

// Start within 3 K, fully open 12 K above: TM 5-3825-229-14&P. Shut again 5 K below: makers'
// service texts (common practice, no source).
std::string bench_limits(const JobFacts& facts) {
  if (!facts.opens_c || facts.opens_by_band)
    return "against the stamped value: starts within 3 K, fully open 12 K above, shut again 5 K "
           "below; the second time as the first";
  const double opens_c = *facts.opens_c;
  const double full_c = facts.full_open_c.value_or(opens_c + 12.0);
  return fmt::format("sound: starts to open at {:.0f} to {:.0f} °C, fully open at {:.0f} °C, shut "
                     "again by {:.0f} °C; the second time as the first",
                     opens_c - 3.0, opens_c + 3.0, full_c, opens_c - 5.0);
}

void add_dismantling(Checks& checks, const JobFacts& facts) {
  ConfirmingCheck bench{"thermostat-in-water",
                        "thermostat in heated water",
                        "take it out, hang it clear of the pot's bottom, stir, heat and cool it "
                        "twice beside a thermometer; try the new one too",
                        bench_limits(facts),
                        "pot, heat, thermometer; drain pan",
                        75,
                        5,
                        EngineState::cold,
                        {Hazard::hot_system, Hazard::poisonous_coolant},
                        finds({{Condition::thermostat_stuck_open, 0.95},
                               {Condition::thermostat_stuck_closed, 0.95},
                               {Condition::thermostat_sticking, 0.8}})};
  if (facts.mapped) bench.how += "; its heater: resistance by the maker's table";
  checks.push_back(bench);
  checks.push_back({"radiator-flow",
                    "radiator's flow",
                    "hoses off: a garden hose into the top must run out below as fast",
                    "it backs up: the tubes are blocked inside",
                    "drain pan, water hose",
                    60,
                    5,
                    EngineState::cold,
                    {Hazard::hot_system, Hazard::poisonous_coolant},
                    finds({{Condition::radiator_restricted, 0.85}})});
  checks.push_back({"pump-out",
                    "pump taken off",
                    "only when the rest is clear: look at the impeller, turn the shaft",
                    "a loose, worn or missing impeller",
                    "hand tools, drain pan",
                    120,
                    10,
                    EngineState::cold,
                    {Hazard::hot_system, Hazard::poisonous_coolant},
                    finds({{Condition::coolant_flow_low, 0.9}})});
}

} // namespace

std::vector<ConfirmingCheck> check_catalogue(const JobFacts& facts) {
  Checks checks;
  add_level_and_leaks(checks);
  add_belt_and_core(checks);
  checks.push_back(fan_by_hand(facts.fan));
  if (facts.fan != FanDrive::fixed) checks.push_back(fan_hot_idle(facts.fan));
  add_warm_ups(checks, facts);
  add_hot_flow(checks);
  add_hot_surfaces(checks);
  add_pressure(checks, facts);
  add_gas_test(checks);
  add_wiring(checks);
  add_dismantling(checks, facts);
  if (!may_start_by_itself(facts.fan)) {
    for (ConfirmingCheck& check : checks) std::erase(check.hazards, Hazard::self_starting_fan);
  }
  return checks;
}

} // namespace coolband
