// SPDX-License-Identifier: Apache-2.0
// Reading `coolband.scenario/1`. Values are judged by `problem_in`, so that the library and the
// file say the same; only what the library cannot place in the file is bounded here.
#include "cli/scenario_file.hpp"

#include "band/json_fields.hpp"
#include "cli/json_group.hpp"
#include "core/json_place.hpp"
#include "core/text_file.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <utility>
#include <vector>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband::cli {

namespace {

using Json = nlohmann::ordered_json;

constexpr const char* k_scenario_schema = "coolband.scenario/1";

/// A number of the circuit: its key, its bounds and where it goes.
struct CircuitNumber {
  const char* key;
  Range allowed;
  double CircuitParameters::*target;
};

using Numbers = std::initializer_list<CircuitNumber>;

const Numbers k_engine_numbers = {
    {"rated_rpm", {1000.0, 15000.0}, &CircuitParameters::rated_rpm},
    {"idle_rpm", {300.0, 2000.0}, &CircuitParameters::idle_rpm},
    {"full_heat_kw", {3.0, 1000.0}, &CircuitParameters::full_heat_kw},
    {"no_load_share", {0.0, 0.6}, &CircuitParameters::no_load_share},
    {"cold_extra", {0.0, 3.0}, &CircuitParameters::cold_extra},
    {"block_kj_per_k", {10.0, 3000.0}, &CircuitParameters::block_kj_per_k},
    {"block_to_coolant_kw_per_k", {0.1, 100.0}, &CircuitParameters::block_to_coolant_kw_per_k},
    {"surface_kw_per_k", {0.0, 1.0}, &CircuitParameters::surface_kw_per_k},
    {"surface_kw_per_k_per_mps", {0.0, 0.1}, &CircuitParameters::surface_kw_per_k_per_mps},
};

const Numbers k_thermostat_numbers = {
    {"opens_c", {30.0, 130.0}, &CircuitParameters::opens_c},
    {"hysteresis_k", {0.0, 20.0}, &CircuitParameters::hysteresis_k},
    {"wax_lag_s", {0.5, 300.0}, &CircuitParameters::wax_lag_s},
    {"vent_share", {0.0, 0.2}, &CircuitParameters::vent_share},
};

const Numbers k_cooling_numbers = {
    {"cap_kpa", {0.0, 300.0}, &CircuitParameters::cap_kpa},
    {"flow_l_per_min", {5.0, 2000.0}, &CircuitParameters::flow_l_per_min},
    {"radiator_metal_kj_per_k", {0.1, 500.0}, &CircuitParameters::radiator_metal_kj_per_k},
    {"radiator_ua_kw_per_k", {0.05, 50.0}, &CircuitParameters::radiator_ua_kw_per_k},
    {"reference_air_mps", {0.5, 20.0}, &CircuitParameters::reference_air_mps},
    {"radiator_face_m2", {0.01, 5.0}, &CircuitParameters::radiator_face_m2},
    {"ram_share", {0.0, 1.0}, &CircuitParameters::ram_share},
    {"still_air_mps", {0.01, 2.0}, &CircuitParameters::still_air_mps},
    {"fan_air_mps", {0.0, 20.0}, &CircuitParameters::fan_air_mps},
    {"fan_on_c", {40.0, 130.0}, &CircuitParameters::fan_on_c},
    {"fan_off_c", {40.0, 130.0}, &CircuitParameters::fan_off_c},
    {"heater_kw_per_k", {0.0, 1.0}, &CircuitParameters::heater_kw_per_k},
};

void read_numbers(JsonGroup& group, Numbers numbers, CircuitParameters& circuit) {
  for (const CircuitNumber& number : numbers)
    group.number(number.key, circuit.*number.target, number.allowed);
}

/// What is not given follows the engine's power, so that a profile alone makes a vehicle that can
/// cool itself.
void size_by_power(Scenario& scenario) {
  const double size = scenario.body.rated_power_kw / Body{}.rated_power_kw;
  CircuitParameters& circuit = scenario.circuit;
  for (double* const number :
       {&circuit.full_heat_kw, &circuit.radiator_ua_kw_per_k, &circuit.radiator_face_m2,
        &circuit.flow_l_per_min, &circuit.block_to_coolant_kw_per_k})
    *number *= size;
}

void read_engine(JsonGroup engine, Scenario& scenario) {
  if (engine.number("rated_power_kw", scenario.body.rated_power_kw, {5.0, 1000.0}))
    size_by_power(scenario);
  read_numbers(engine, k_engine_numbers, scenario.circuit);
  const CircuitParameters& circuit = scenario.circuit;
  if (circuit.idle_rpm >= circuit.rated_rpm) {
    engine.complain(
        "idle_rpm",
        fmt::format("is {}, not below rated_rpm, {}", circuit.idle_rpm, circuit.rated_rpm),
        "an engine idles more slowly than it gives its rated power");
  }
  engine.ignore({"fuel", "displacement_l", "note"});
  engine.only_known();
}

void read_thermostat(JsonGroup thermostat, CircuitParameters& circuit) {
  static const std::array<std::string, 2> k_sides{"outlet", "inlet"};
  static const std::array<std::string, 1> k_kinds{"wax"};
  read_numbers(thermostat, k_thermostat_numbers, circuit);
  double full_open_c = 0.0;
  if (thermostat.number("full_open_c", full_open_c, {30.0, 150.0})) {
    circuit.span_k = full_open_c - circuit.opens_c;
    if (circuit.span_k < 1.0) {
      thermostat.complain(
          "full_open_c",
          fmt::format("is {}, less than 1 K above opens_c, {}", full_open_c, circuit.opens_c),
          "a wax thermostat needs some kelvins from opening to fully open");
    }
  }
  if (const auto side = thermostat.one_of("position", k_sides))
    circuit.side = *side == 1 ? ThermostatSide::inlet : ThermostatSide::outlet;
  thermostat.one_of("kind", k_kinds); // a mapped one is not modelled
  thermostat.ignore({"note"});
  thermostat.only_known();
}

void read_volumes(JsonGroup& cooling, CircuitParameters& circuit) {
  const double engine_share =
      circuit.engine_coolant_l / (circuit.engine_coolant_l + circuit.radiator_coolant_l);
  double capacity_l = circuit.engine_coolant_l + circuit.radiator_coolant_l;
  cooling.number("capacity_l", capacity_l, {0.5, 500.0});
  circuit.radiator_coolant_l = capacity_l * (1.0 - engine_share);
  cooling.number("radiator_l", circuit.radiator_coolant_l, {0.1, 400.0});
  circuit.engine_coolant_l = capacity_l - circuit.radiator_coolant_l;
  if (circuit.engine_coolant_l < 0.1) {
    cooling.complain("radiator_l",
                     fmt::format("is {}, which leaves nothing of capacity_l, {}, for the engine",
                                 circuit.radiator_coolant_l, capacity_l),
                     "capacity_l is the whole system");
  }
}

void read_cooling(JsonGroup cooling, CircuitParameters& circuit) {
  static const std::array<std::string, 3> k_glycols{"none", "ethylene", "propylene"};
  static const std::array<std::string, 3> k_fans{"viscous", "electric", "fixed"};
  read_volumes(cooling, circuit);
  read_numbers(cooling, k_cooling_numbers, circuit);
  if (const auto glycol = cooling.one_of("glycol", k_glycols))
    circuit.mix.glycol = static_cast<Glycol>(*glycol);
  if (circuit.mix.glycol == Glycol::none) circuit.mix.volume_pct = 0.0;
  cooling.number("concentration_vol_pct", circuit.mix.volume_pct, {0.0, 60.0});
  if (const auto fan = cooling.one_of("fan", k_fans)) circuit.fan = static_cast<FanDrive>(*fan);
  if (circuit.fan_off_c >= circuit.fan_on_c) {
    cooling.complain(
        "fan_off_c",
        fmt::format("is {}, not below fan_on_c, {}", circuit.fan_off_c, circuit.fan_on_c),
        "the fan must stop at a lower temperature than it starts");
  }
  cooling.ignore({"note"});
  cooling.only_known();
}

void read_body(JsonGroup body, Body& target) {
  body.number("mass_kg", target.mass_kg);
  body.number("drag_area_m2", target.drag_area_m2);
  body.number("rolling", target.rolling);
  body.number("top_gear_rpm_per_kmh", target.top_gear_rpm_per_kmh);
  body.ignore({"note"});
  body.only_known();
}

/// Takes all fields of `coolband.vehicle/1`, so that a profile can be pasted in.
void read_vehicle(JsonGroup vehicle, Scenario& scenario) {
  read_engine(vehicle.group("engine"), scenario);
  read_thermostat(vehicle.group("thermostat"), scenario.circuit);
  read_cooling(vehicle.group("cooling"), scenario.circuit);
  read_body(vehicle.group("body"), scenario.body);
  vehicle.ignore({"schema", "id", "label", "odometer_km", "normal", "note"});
  vehicle.only_known();
}

void read_surroundings(JsonGroup& root, Scenario& scenario) {
  JsonGroup weather = root.group("weather");
  weather.number("ambient_c", scenario.weather.ambient_c);
  weather.number("change_c_per_h", scenario.weather.change_c_per_h);
  weather.number("headwind_kmh", scenario.weather.headwind_kmh);
  weather.ignore({"note"});
  weather.only_known();
  JsonGroup comfort = root.group("comfort");
  comfort.number("heater", scenario.comfort.heater);
  comfort.flag("air_conditioning", scenario.comfort.air_conditioning);
  comfort.ignore({"note"});
  comfort.only_known();
  JsonGroup start = root.group("start");
  start.number("engine_c", scenario.start_c, {-60.0, 120.0});
  start.number("altitude_m", scenario.start_altitude_m);
  start.ignore({"note"});
  start.only_known();
}

std::vector<std::string> route_names() {
  std::vector<std::string> names;
  for (int i = 0; i <= static_cast<int>(RouteKind::stop); ++i)
    names.emplace_back(name_of(static_cast<RouteKind>(i)));
  return names;
}

std::vector<std::string> fault_names() {
  std::vector<std::string> names;
  for (int i = 0; i <= static_cast<int>(FaultKind::sensor_frozen); ++i)
    names.emplace_back(name_of(static_cast<FaultKind>(i)));
  return names;
}

void read_route(JsonGroup& root, Scenario& scenario) {
  static const std::vector<std::string> k_names = route_names();
  for (JsonGroup& stretch : root.list("route")) {
    RoutePhase phase;
    if (const auto kind = stretch.one_of("kind", k_names))
      phase.kind = static_cast<RouteKind>(*kind);
    else
      stretch.complain("kind", "is missing", choice_remedy("", k_names));
    if (!stretch.number("minutes", phase.minutes))
      stretch.complain("minutes", "is missing", "say how long this stretch takes");
    stretch.number("speed_kmh", phase.speed_kmh);
    stretch.number("grade_pct", phase.grade_pct);
    stretch.number("trailer_kg", phase.trailer_kg);
    stretch.ignore({"note"});
    stretch.only_known();
    scenario.route.push_back(phase);
  }
}

void read_faults(JsonGroup& root, Scenario& scenario) {
  static const std::vector<std::string> k_names = fault_names();
  for (JsonGroup& item : root.list("faults")) {
    FaultPlan fault;
    if (const auto kind = item.one_of("kind", k_names))
      fault.kind = static_cast<FaultKind>(*kind);
    else
      item.complain("kind", "is missing", choice_remedy("", k_names));
    item.number("severity", fault.severity);
    item.number("from_s", fault.from_s);
    item.number("to_s", fault.to_s);
    JsonGroup spells = item.group("spells");
    if (spells.given()) {
      fault.spells = Spells{};
      spells.number("on_s", fault.spells->on_s);
      spells.number("off_s", fault.spells->off_s);
    }
    spells.ignore({"note"});
    spells.only_known();
    item.ignore({"note"});
    item.only_known();
    scenario.faults.push_back(fault);
  }
}

/// "2031-05-06T07:10:00", with a blank or a T in the middle.
std::optional<Clock> clock_of(std::string_view text) {
  constexpr std::string_view k_form = "dddd-dd-ddTdd:dd:dd";
  if (text.size() != k_form.size()) return std::nullopt;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool digit = text[i] >= '0' && text[i] <= '9';
    const bool blank = k_form[i] == 'T' && text[i] == ' ';
    if (k_form[i] == 'd' ? !digit : text[i] != k_form[i] && !blank) return std::nullopt;
  }
  const auto number = [&](std::size_t from, std::size_t size) {
    int value = 0;
    std::from_chars(text.data() + from, text.data() + from + size, value);
    return value;
  };
  const auto days = days_from_date(number(0, 4), number(5, 2), number(8, 2));
  const int hour = number(11, 2);
  const int minute = number(14, 2);
  const int second = number(17, 2);
  if (!days || *days < 0 || hour > 23 || minute > 59 || second > 59) return std::nullopt;
  const double start_s = static_cast<double>(*days) * 86400.0 + hour * 3600 + minute * 60 + second;
  return Clock{ClockKind::date_time, start_s, 0};
}

void read_logging(JsonGroup logging, ScenarioFile& file) {
  Logging& target = file.scenario.logging;
  logging.number("period_s", target.period_s);
  logging.number("resolution_c", target.sensor.resolution_c);
  logging.number("noise_c", target.sensor.noise_c);
  logging.number("sensor_lag_s", target.sensor.lag_s);
  logging.number("ambient_resolution_c", target.ambient_resolution_c);
  logging.number("missing_share", target.missing_share);
  std::optional<std::string> clock;
  logging.text("clock", clock);
  if (clock) file.clock = clock_of(*clock);
  if (clock && !file.clock) {
    logging.complain("clock",
                     fmt::format("is '{}', which is no date and time from 1970 on", *clock),
                     "write it as 2031-05-06T07:10:00, or leave it out for seconds from 0");
  }
  for (JsonGroup& item : logging.list("gaps")) {
    LogGap gap;
    item.number("from_s", gap.from_s);
    if (!item.number("to_s", gap.to_s))
      item.complain("to_s", "is missing", "say when the rows go on");
    item.ignore({"note"});
    item.only_known();
    target.gaps.push_back(gap);
  }
  logging.ignore({"note"});
  logging.only_known();
}

void read_seed(JsonGroup& root, const Json& json, Scenario& scenario) {
  root.ignore({"seed"});
  const auto found = json.find("seed");
  if (found == json.end() || found->is_null()) return;
  if (found->is_number_unsigned())
    scenario.seed = found->get<std::uint64_t>();
  else
    root.complain("seed", "must be a whole number, 0 or more", "mend the field");
}

/// The file that `"vehicle": "FILE"` names: relative to the scenario's own folder.
std::string vehicle_path(const std::string& file, const std::string& scenario_path) {
  const std::size_t slash = scenario_path.find_last_of('/');
  if (file.starts_with('/') || slash == std::string::npos) return file;
  return scenario_path.substr(0, slash + 1) + file;
}

/// Moves a problem of the vehicle's from the scenario to the file that it comes from.
std::optional<Error> vehicle_problem(const Scenario& scenario, JsonComplaints& complaints) {
  constexpr std::string_view k_prefix = "vehicle.";
  if (complaints.first()) return complaints.first();
  const auto problem = problem_in(scenario, ScenarioPart::vehicle);
  if (!problem) return std::nullopt;
  const std::string field = problem->field.substr(k_prefix.size());
  complaints.at(field, field + " " + problem->what, problem->remedy);
  return complaints.first();
}

/// A vehicle in a file of its own. What a profile may hold beyond our fields is passed over.
std::optional<Error> read_vehicle_file(const std::string& path, Scenario& scenario) {
  const auto text = read_text_file(path);
  if (!text) return text.error();
  const auto json = parse_schema(*text, path, "coolband.vehicle/1");
  if (!json) return json.error();
  JsonComplaints complaints(path, *text, Strangers::pass);
  read_vehicle(JsonGroup(complaints, &*json, ""), scenario);
  return vehicle_problem(scenario, complaints);
}

/// Everything but what `vehicle` names; complaints are kept in `complaints`.
void read_all(const Json& json, JsonComplaints& complaints, ScenarioFile& file) {
  JsonGroup root(complaints, &json, "");
  std::optional<std::string> title;
  root.text("name", title);
  file.scenario.name = title.value_or("");
  read_seed(root, json, file.scenario);
  const auto vehicle = json.find("vehicle");
  if (vehicle == json.end() || !vehicle->is_string())
    read_vehicle(root.group("vehicle"), file.scenario);
  read_surroundings(root, file.scenario);
  read_route(root, file.scenario);
  read_faults(root, file.scenario);
  read_logging(root.group("logging"), file);
  root.ignore({"schema", "vehicle", "note"});
  root.only_known(); // first, as a misspelt route is missing too
  if (!root.has("route")) {
    root.complain("route", "is missing",
                  "say where the drive goes: [{\"kind\": \"road\", \"minutes\": 20}]");
  }
  if (complaints.first()) return;
  if (const auto problem = problem_in(file.scenario))
    complaints.at(problem->field, problem->field + " " + problem->what, problem->remedy);
}

} // namespace

Result<ScenarioFile> parse_scenario(const std::string& text, const std::string& name) {
  const auto json = parse_schema(text, name, k_scenario_schema);
  if (!json) return json.error();
  JsonComplaints complaints(name, text);
  ScenarioFile file;
  const auto vehicle = json->find("vehicle");
  if (vehicle != json->end() && vehicle->is_string()) {
    const std::string path = vehicle_path(vehicle->get<std::string>(), name);
    if (const auto error = read_vehicle_file(path, file.scenario)) return *error;
  }
  read_all(*json, complaints, file);
  if (complaints.first()) return *complaints.first();
  return file;
}

Result<ScenarioFile> read_scenario(const std::string& path) {
  auto text = read_text_file(path == "-" ? "/dev/stdin" : path);
  if (text) return parse_scenario(*text, path);
  Error error = text.error();
  error.origin.file = path;
  return error;
}

} // namespace coolband::cli
