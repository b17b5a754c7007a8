// SPDX-License-Identifier: Apache-2.0
// Work in the order in which it is done: common practice, no source, where none is named.
#include "repair/order_of_work.hpp"

namespace coolband {

namespace {

using Steps = std::vector<std::string>;

constexpr const char* k_cold = "let it stand until cold; key out, battery or fan plug off";
constexpr const char* k_catch =
    "measure the mix, put the pan below, open the cap, drain and measure what comes out";
constexpr const char* k_fill = "fill and bleed as below, look for leaks hot and again cold";

Steps thermostat_steps(const JobFacts& facts) {
  Steps steps = {
      k_cold, "measure the mix, drain to below the housing and measure what comes out",
      "mark how hoses and housing sit; clamps, then bolts: count them off",
      "note which way the valve and its vent point; try old and new one in heated water",
      "clean both faces without letting scraps in; look at the housing for pits and warping",
      ("new thermostat and seal, vent at the top, wax side to the engine; bolts by hand, then in "
       "turn to the maker's torque; count them back"),
      k_fill,
      // Never without one: TM 10-3930-633-12.
      ("never run without a thermostat; if a new one changes nothing, measure the sensor's circuit "
       "before fitting another")};
  if (facts.mapped) steps.insert(steps.begin() + 3, "unplug the thermostat's heater");
  return steps;
}

Steps fan_steps(std::optional<FanDrive> fan) {
  if (fan == FanDrive::electric)
    return {"key out, fan unplugged: fuse, relay, plug, earth first",
            "feed the motor from a fused lead: it must run freely (hands clear)",
            "motor runs: find why it was not switched (switch, sensor reading, relay, wiring)",
            "motor does not run: shroud and fan out together, fit motor, count the screws",
            "plug on, let it idle hot: it must come in and bring the reading down"};
  if (fan == FanDrive::viscous)
    return {"cold engine, key out, battery off; shroud off or back, count the screws",
            "hold the pulley, loosen the clutch (mind a left-hand thread)",
            "stand the clutch upright as it was fitted, never on its face",
            "new clutch, blades on it without a crack, the maker's torque",
            "shroud back all round; idle hot: it must engage, then let go"};
  return {"cold engine, key out, battery off; for an electric fan: plug off",
          "shroud off, count the screws; look at blades, bearing, clutch or motor",
          "fit what was found bad; shroud back all round",
          "idle hot: it must move air and bring the reading down"};
}

Steps radiator_steps() {
  return {
      k_cold,
      ("outside first: brush, then rinse or blow from the engine's side, along the fins; log a "
       "drive: that may be all"),
      k_catch,
      ("hoses off, rinse the core backwards until it runs clear; if a flow test still backs up, "
       "fit another radiator"),
      "radiator and mounts back, new drain seal, clamps where they sat; count back",
      k_fill};
}

Steps flow_steps() {
  return {k_cold,
          "belt: how it runs, its direction, then off; tensioner and pulleys by hand",
          "belt slipped, pump sound: belt or tensioner alone may be the cure; log a drive",
          k_catch,
          "pump bolts in turn, note their lengths, count them off",
          "clean the faces, new seal, pump by hand, then the maker's torque in turn",
          "belt to the maker's tension; turn the engine by hand twice round",
          k_fill};
}

Steps leak_steps() {
  return {k_cold,
          "pressure test, mark every wet place; dry and falling: gas test, oil and exhaust",
          k_catch,
          "mend the leak found: clamp, hose, cap, seal, pump or radiator",
          "pressure test again before filling up",
          k_fill,
          "gas in the coolant, or no leak to be found: cylinder head and gasket, a workshop's job"};
}

Steps sensor_steps() {
  return {"cold engine; plug off, pins clean and tight, loom whole to the first branch",
          "measure the sensor cold and hot against the maker's table, then the leads end to end",
          "lead at fault: mend it, and measure again",
          "sensor at fault: cap loosened cold, new one ready, swap, seal, the maker's torque",
          "top up and bleed as below; clear stored codes",
          "compare with an independent thermometer, and after a night with the outside air"};
}

std::vector<std::string> waste_words() {
  // EPA household material; collection point: common practice, no source.
  return {
      "keep it in a closed, labelled container away from oil and fuel, out of reach of children "
      "and animals; take it to a collection point, never into drains or soil; local rules hold",
      "clean coolant of a known mix may go back in; rusty, oily or old coolant may not"};
}

Steps steps_of(RepairKind kind, const JobFacts& facts) {
  switch (kind) {
  case RepairKind::thermostat: return thermostat_steps(facts);
  case RepairKind::fan: return fan_steps(facts.fan);
  case RepairKind::radiator: return radiator_steps();
  case RepairKind::flow: return flow_steps();
  case RepairKind::leak: return leak_steps();
  case RepairKind::sensor: return sensor_steps();
  case RepairKind::none: break;
  }
  return {};
}

} // namespace

Work order_of_work(RepairKind kind, const JobFacts& facts) {
  Work work;
  work.steps = steps_of(kind, facts);
  if (kind == RepairKind::none) return work;
  work.hazards = {Hazard::hot_system, Hazard::running_engine};
  if (may_start_by_itself(facts.fan)) work.hazards.push_back(Hazard::self_starting_fan);
  if (kind == RepairKind::fan) return work;
  work.hazards.push_back(Hazard::poisonous_coolant);
  work.hazards.push_back(Hazard::cold_water);
  if (kind != RepairKind::sensor) work.hazards.push_back(Hazard::lifting);
  work.waste = waste_words();
  return work;
}

} // namespace coolband
