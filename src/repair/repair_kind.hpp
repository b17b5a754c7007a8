// SPDX-License-Identifier: Apache-2.0
// Which kind of work mends which condition.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <cstdint>

namespace coolband {

enum class RepairKind : std::uint8_t { none, thermostat, fan, radiator, flow, leak, sensor };

constexpr RepairKind repair_of(Condition condition) {
  switch (condition) {
  case Condition::thermostat_stuck_open:
  case Condition::thermostat_stuck_closed:
  case Condition::thermostat_sticking: return RepairKind::thermostat;
  case Condition::fan_not_cooling: return RepairKind::fan;
  case Condition::radiator_restricted: return RepairKind::radiator;
  case Condition::coolant_flow_low: return RepairKind::flow;
  case Condition::air_or_low_coolant: return RepairKind::leak;
  case Condition::sensor_fault: return RepairKind::sensor;
  default: return RepairKind::none;
  }
}

} // namespace coolband
