// SPDX-License-Identifier: Apache-2.0
// Options as the user gave them, and the groups that several commands share.
#include "cli/options.hpp"

#include "band/profile_slips.hpp"
#include "cli/console.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/core.h>

namespace coolband::cli {

// CLI11's own check lets "nan" pass.
CLI::Validator within(double low, double high) {
  return {[low, high](const std::string& text) -> std::string {
            double value = 0.0;
            const auto [end, error] =
                std::from_chars(text.data(), text.data() + text.size(), value);
            const bool number = error == std::errc() && end == text.data() + text.size();
            if (number && value >= low && value <= high) return {};
            return fmt::format("'{}' is not a number from {} to {}", text, low, high);
          },
          fmt::format("{}..{}", low, high)};
}

std::vector<std::string> cause_names() {
  std::vector<std::string> names;
  for (std::size_t c = 1; c < k_cause_count; ++c)
    names.emplace_back(name_of(static_cast<Condition>(c)));
  return names;
}

std::optional<Condition> cause_named(const std::string& name) {
  for (std::size_t c = 1; c < k_cause_count; ++c) {
    const auto condition = static_cast<Condition>(c);
    if (name_of(condition) == name) return condition;
  }
  return std::nullopt;
}

void add_output_options(CLI::App& command, OutputOptions& options,
                        const std::vector<std::string>& formats) {
  command.add_option("-o,--output", options.output, "write here instead of standard output")
      ->type_name("FILE");
  command.add_flag("--overwrite", options.overwrite, "replace an existing output file");
  command.add_option("--format", options.format, "how to write the result")
      ->check(CLI::IsMember(formats))
      ->capture_default_str();
  command.add_option("--color", options.color, "colour in text")
      ->check(CLI::IsMember({"auto", "always", "never"}))
      ->capture_default_str();
  command.add_flag("-q,--quiet", options.quiet, "only errors on standard error");
}

void add_profile_option(CLI::App& command, std::string& profile) {
  command.add_option("--profile", profile, "what is known of the vehicle (coolband.vehicle/1)")
      ->type_name("FILE");
}

void add_reading_options(CLI::App& command, CommonOptions& options, bool with_profile) {
  command
      .add_option("--column", options.columns,
                  "settle a column: ROLE=HEADING[:UNIT], e.g. coolant=\"Temp 2\":F (repeatable)")
      ->type_name("ROLE=HEADING[:UNIT]")
      ->allow_extra_args(false);
  command
      .add_option("--ambient", options.ambient_c,
                  "outside temperature in °C, where the log lacks it")
      ->type_name("C")
      ->check(within(-60.0, 65.0));
  command.add_option("--altitude", options.altitude_m, "altitude in m, where the log lacks it")
      ->type_name("M")
      ->check(within(-500.0, 9000.0));
  if (with_profile) add_profile_option(command, options.profile);
}

void add_progress_options(CLI::App& command, CommonOptions& options) {
  command.add_flag("-v,--verbose", options.verbose,
                   "settings used, rows, time and memory on standard error");
  command.add_flag("--no-progress", options.no_progress, "no progress display");
}

void add_common(CLI::App& command, CommonOptions& options,
                const std::vector<std::string>& formats) {
  command.add_option("LOG", options.logs, "coolant logs, CSV or JSON; '-' is standard input");
  add_reading_options(command, options);
  add_output_options(command, options, formats);
  add_progress_options(command, options);
}

std::optional<Error> complete(CommonOptions& options) {
  if (options.logs.empty()) {
    if (input_is_terminal()) {
      return Error{ErrorKind::usage,
                   {},
                   "no log given, and standard input is a terminal",
                   "",
                   "name a log file, or pipe one in"};
    }
    options.logs.emplace_back("-");
  }
  if (std::count(options.logs.begin(), options.logs.end(), "") > 0) {
    return Error{ErrorKind::usage, {}, "a log has an empty name", "", "name a log file, or '-'"};
  }
  if (std::count(options.logs.begin(), options.logs.end(), "-") > 1) {
    return Error{
        ErrorKind::usage, {}, "standard input ('-') can be read only once", "", "name it once"};
  }
  return std::nullopt;
}

std::vector<std::string> inputs_of(const CommonOptions& options, const std::string& more) {
  std::vector<std::string> inputs = options.logs;
  for (const std::string& path : {options.profile, more}) {
    if (!path.empty()) inputs.push_back(path);
  }
  return inputs;
}

Result<ImportOptions> import_options(const CommonOptions& options) {
  ImportOptions result;
  for (const std::string& text : options.columns) {
    auto choice = parse_column_choice(text);
    if (!choice) return choice.error();
    result.columns.push_back(std::move(*choice));
  }
  if (options.ambient_c) result.constants.push_back({Role::ambient, *options.ambient_c});
  if (options.altitude_m) result.constants.push_back({Role::altitude, *options.altitude_m});
  return result;
}

Result<std::optional<VehicleProfile>> profile_of(const CommonOptions& options) {
  return profile_of(options.profile);
}

Result<std::optional<VehicleProfile>> profile_of(const std::string& path) {
  if (path.empty()) return std::optional<VehicleProfile>();
  auto profile = read_profile(path);
  if (!profile) return profile.error();
  for (const std::string& slip : profile_slips(*profile))
    remark(fmt::format("WARNING: {}: {}", path, slip));
  return std::optional<VehicleProfile>(std::move(*profile));
}

std::optional<Error> of_another_vehicle(const NormalBand& band, const std::string& path,
                                        const std::optional<VehicleProfile>& profile) {
  if (!profile || band.vehicle.empty() || band.vehicle == profile->id) return std::nullopt;
  return Error{ErrorKind::usage,
               {path},
               "this band is of '" + band.vehicle + "', the profile of '" + profile->id + "'",
               "",
               "give the band and the profile of one vehicle"};
}

} // namespace coolband::cli
