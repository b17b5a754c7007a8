// SPDX-License-Identifier: Apache-2.0
// coolband simulate: a physically simulated drive as a log.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/json_group.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "cli/scenario_file.hpp"
#include "cli/usage_error.hpp"
#include "report/simulated_log.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <memory>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

constexpr std::size_t k_written_at_once = std::size_t{256} << 10U;

struct SimulateCommand : OutputOptions {
  SimulateCommand() { format = "csv"; }

  std::string scenario;
  std::string units = "metric";
  std::vector<std::string> unit; ///< ROLE=UNIT
  std::vector<std::string> columns;
  std::optional<std::uint64_t> seed;
  std::optional<double> severity;
  std::optional<double> period_s;
  bool truth = false;
  bool verbose = false;
};

std::vector<std::string> role_names() {
  std::vector<std::string> names;
  for (const Role role : simulated_roles()) names.emplace_back(name_of(role));
  return names;
}

/// Digits only: CLI11 would take "-1" for the greatest number there is.
CLI::Validator whole_number() {
  return {[](const std::string& text) -> std::string {
            std::uint64_t value = 0;
            const char* const end = text.data() + text.size();
            const auto [read, error] = std::from_chars(text.data(), end, value);
            if (error == std::errc() && read == end) return {};
            return fmt::format("'{}' is not a whole number, 0 or more", text);
          },
          ""};
}

Result<Role> column_named(const std::string& name) {
  const std::vector<std::string> names = role_names();
  if (std::find(names.begin(), names.end(), name) != names.end()) return *role_named(name);
  if (name == "time") return usage("'time' is always the first column", "leave it out of the list");
  return usage(fmt::format("a simulated log has no column '{}'", name), choice_remedy(name, names));
}

/// What a log has when nobody chose: everything, the fan only where it is electric.
Result<std::vector<Role>> chosen_roles(const SimulateCommand& options, const Scenario& scenario) {
  std::vector<Role> roles;
  for (const std::string& name : options.columns) {
    const auto role = column_named(name);
    if (!role) return role.error();
    if (std::find(roles.begin(), roles.end(), *role) != roles.end())
      return usage(fmt::format("the column '{}' is named twice", name), "name it once");
    roles.push_back(*role);
  }
  if (!roles.empty()) return roles;
  roles = simulated_roles();
  if (scenario.circuit.fan != FanDrive::electric)
    roles.erase(std::find(roles.begin(), roles.end(), Role::fan));
  return roles;
}

/// "coolant=degF" on a column that is written.
std::optional<Error> apply_unit(const std::string& text, std::vector<LogColumn>& columns) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos) {
    return usage(fmt::format("--unit '{}' does not name a column and a unit", text),
                 "write it as COLUMN=UNIT, e.g. --unit coolant=degF");
  }
  const std::string name = text.substr(0, equals);
  const auto role = column_named(name);
  if (!role) return role.error();
  const auto column = std::find_if(columns.begin(), columns.end(),
                                   [&](const LogColumn& c) { return c.role == *role; });
  if (column == columns.end()) {
    return usage(fmt::format("--unit '{}': there is no column '{}' in this log", text, name),
                 "add it to --columns, or leave the unit out");
  }
  const Quantity quantity = metric_unit(*role).quantity;
  const auto unit = unit_named(text.substr(equals + 1), quantity);
  if (quantity == Quantity::none || !unit || !unit_suffix(*unit)) {
    return usage(fmt::format("--unit '{}': {} cannot be written in that unit", text, name),
                 "temperatures take C, F or K; speed km/h, mph, m/s or kn; altitude m or ft; "
                 "the rest has only one");
  }
  column->unit = *unit;
  return std::nullopt;
}

Result<LogShape> shape_of(const SimulateCommand& options, const ScenarioFile& file) {
  LogShape shape;
  shape.format = options.format == "csv"     ? SimulatedFormat::csv
                 : options.format == "jsonl" ? SimulatedFormat::json_lines
                                             : SimulatedFormat::json_array;
  shape.clock = file.clock;
  shape.truth = options.truth;
  shape.logging = file.scenario.logging;
  const auto roles = chosen_roles(options, file.scenario);
  if (!roles) return roles.error();
  for (const Role role : *roles)
    shape.columns.push_back({role, options.units == "us" ? us_unit(role) : metric_unit(role)});
  for (const std::string& text : options.unit) {
    if (const auto error = apply_unit(text, shape.columns)) return *error;
  }
  return shape;
}

/// The scenario was possible as it was read, so what is impossible now was said by an option.
Error option_problem(const ScenarioProblem& problem) {
  const bool period = problem.field == "logging.period_s";
  return usage((period ? "--period " : "with these options " + problem.field + " ") + problem.what,
               problem.remedy);
}

/// The options that change the scenario itself.
std::optional<Error> adapt(const SimulateCommand& options, Scenario& scenario) {
  if (options.seed) scenario.seed = *options.seed;
  if (options.period_s) scenario.logging.period_s = *options.period_s;
  if (options.severity && scenario.faults.empty())
    return usage("--severity is given, but the scenario has no fault", "leave it out");
  for (FaultPlan& fault : scenario.faults)
    fault.severity = options.severity.value_or(fault.severity);
  if (const auto problem = problem_in(scenario)) return option_problem(*problem);
  return std::nullopt;
}

struct Summary {
  std::size_t rows = 0;
  double last_s = 0.0;
  double hottest_c = -1e9;
  double boiled_l = 0.0;
  std::size_t rows_with_fault = 0;

  void add(const SimulatedRow& row) {
    ++rows;
    last_s = row.time_s;
    hottest_c = std::max(hottest_c, row.truth.coolant_c);
    boiled_l = row.truth.boiled_l;
    rows_with_fault += row.fault_active ? 1 : 0;
  }
};

void remark_summary(const SimulateCommand& options, const Scenario& scenario,
                    const Summary& summary, double seconds) {
  remark(fmt::format("settings: format {}, units {}, seed {}, a row every {} s", options.format,
                     options.units, scenario.seed, scenario.logging.period_s));
  const std::string faults = scenario.faults.empty() ? "no fault"
                                                     : fmt::format("a fault at work in {} of them",
                                                                   summary.rows_with_fault);
  remark(fmt::format(
      "{} rows to second {:.0f}, {}; coolant at most {:.1f} °C{}; {:.3f} s", summary.rows,
      summary.last_s, faults, summary.hottest_c,
      summary.boiled_l > 0.0005 ? fmt::format(", {:.2f} L boiled away", summary.boiled_l) : "",
      seconds));
}

/// Drives the scenario into the sink, in pieces, so that memory does not grow with the log.
Summary write_log(const Scenario& scenario, const LogShape& shape, const Sink& sink) {
  Summary summary;
  SimulatedLog log(shape);
  std::string piece;
  bool going = true;
  log.begin(piece);
  // A scenario that could fail was refused before.
  (void)simulate_while(scenario, [&](const SimulatedRow& row) {
    summary.add(row);
    log.add(row, piece);
    if (piece.size() >= k_written_at_once) {
      going = sink(piece);
      piece.clear();
    }
    return going;
  });
  log.end(piece);
  if (going) sink(piece);
  return summary;
}

std::optional<Error> complete(SimulateCommand& options) {
  if (!options.scenario.empty()) return std::nullopt;
  if (input_is_terminal()) {
    return usage("no scenario given, and standard input is a terminal",
                 "name a scenario file; data/scenarios has examples");
  }
  options.scenario = "-";
  return std::nullopt;
}

int run(SimulateCommand& options) {
  if (const auto error = complete(options)) return fail(*error);
  if (const auto error = check_target(options.output, options.overwrite, {options.scenario}))
    return fail(*error);
  auto file = read_scenario(options.scenario);
  if (!file) return fail(file.error());
  if (const auto error = adapt(options, file->scenario)) return fail(*error);
  const auto shape = shape_of(options, *file);
  if (!shape) return fail(shape.error());
  const auto start = std::chrono::steady_clock::now();
  Summary summary;
  const auto produce = [&](const Sink& sink) { summary = write_log(file->scenario, *shape, sink); };
  if (const auto error = write_output(options.output, produce, options.overwrite))
    return fail(*error);
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
  if (options.verbose) remark_summary(options, file->scenario, summary, taken.count());
  if (summary.rows == 0 && !options.quiet)
    remark("no row was written: the drive is shorter than half a second, or in a gap throughout");
  return k_done;
}

void add_own_options(CLI::App& app, SimulateCommand& options) {
  app.add_option("SCENARIO", options.scenario,
                 "what to drive (coolband.scenario/1); '-' is standard input");
  app.add_flag("--truth", options.truth,
               "add what is true: temperatures, valve lift, heat flows, fault at work");
  app.add_option("--seed", options.seed, "another drive of the same scenario")
      ->type_name("N")
      ->check(whole_number());
  app.add_option("--severity", options.severity, "of every fault in the scenario: 0 none, 1 usual")
      ->type_name("LEVEL")
      ->check(within(0.0, k_most_severe));
  app.add_option("--period", options.period_s, "seconds between rows, a multiple of 0.5")
      ->type_name("S")
      ->check(within(k_simulation_step_s, 86400.0));
  app.add_option("--columns", options.columns,
                 "which columns besides time, e.g. coolant,load (usual: all)")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->type_name("NAMES");
  app.add_option("--units", options.units, "units of all columns")
      ->check(CLI::IsMember({"metric", "us"}))
      ->capture_default_str();
  app.add_option("--unit", options.unit, "unit of one column, e.g. coolant=degF (repeatable)")
      ->allow_extra_args(false)
      ->type_name("COLUMN=UNIT");
}

} // namespace

Command add_simulate(CLI::App& program) {
  auto* app = program.add_subcommand("simulate", "a physically simulated drive as a log, healthy "
                                                 "or with a fault: for demos, training and tests");
  auto options = std::make_shared<SimulateCommand>();
  add_own_options(*app, *options);
  add_output_options(*app, *options, {"csv", "jsonl", "json"});
  app->add_flag("-v,--verbose", options->verbose, "settings used, rows and time on standard error");
  app->footer("The same scenario and seed give the same bytes. Memory does not grow with the log.\n"
              "Examples:\n"
              "  coolband simulate scenario.json -o drive.csv\n"
              "  coolband simulate scenario.json --truth --units us --seed 7 | head");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
