// SPDX-License-Identifier: Apache-2.0
// The words of the contract.
#include "coolband/diagnose/judgement.hpp"

namespace coolband {

std::string_view name_of(Condition condition) {
  switch (condition) {
  case Condition::normal: return "normal";
  case Condition::thermostat_stuck_open: return "thermostat-stuck-open";
  case Condition::thermostat_stuck_closed: return "thermostat-stuck-closed";
  case Condition::thermostat_sticking: return "thermostat-sticking";
  case Condition::fan_not_cooling: return "fan-not-cooling";
  case Condition::radiator_restricted: return "radiator-restricted";
  case Condition::coolant_flow_low: return "coolant-flow-low";
  case Condition::air_or_low_coolant: return "air-or-low-coolant";
  case Condition::sensor_fault: return "sensor-fault";
  case Condition::overheating: return "overheating";
  case Condition::undetermined: return "undetermined";
  }
  return "undetermined";
}

std::string_view name_of(Explanation explanation) {
  switch (explanation) {
  case Explanation::none: return "";
  case Explanation::heavy_load: return "heavy-load";
  case Explanation::cold_weather: return "cold-weather";
  case Explanation::hot_weather: return "hot-weather";
  case Explanation::warm_up: return "warm-up";
  case Explanation::restart: return "restart";
  case Explanation::slow_running: return "slow-running";
  }
  return "";
}

std::string_view name_of(Action action) {
  switch (action) {
  case Action::none: return "none";
  case Action::monitor: return "monitor";
  case Action::service: return "service";
  case Action::stop: return "stop";
  }
  return "none";
}

std::string_view name_of(Direction direction) {
  switch (direction) {
  case Direction::below: return "below";
  case Direction::above: return "above";
  case Direction::erratic: return "erratic";
  }
  return "below";
}

std::string_view name_of(CriterionOutcome outcome) {
  switch (outcome) {
  case CriterionOutcome::met: return "met";
  case CriterionOutcome::below: return "below";
  case CriterionOutcome::not_evaluated: return "not-evaluated";
  }
  return "not-evaluated";
}

std::string_view name_of(NominalSource source) {
  switch (source) {
  case NominalSource::rating: return "rating";
  case NominalSource::fitted_opening: return "fitted-opening";
  case NominalSource::band_centre: return "band-centre";
  case NominalSource::unknown: return "unknown";
  }
  return "unknown";
}

} // namespace coolband
