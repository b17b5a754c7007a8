// SPDX-License-Identifier: Apache-2.0
// Options of `coolband fleet`.
#include "cli/fleet_options.hpp"

#include "cli/console.hpp"
#include "cli/usage_error.hpp"

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <filesystem>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

/// A list of paths may be long, but is read whole.
Result<std::string> whole_text(const std::string& path) {
  std::FILE* file = path == "-" ? stdin : std::fopen(path.c_str(), "rb");
  if (file == nullptr)
    return Error{ErrorKind::usage,
                 {path},
                 "cannot read this list",
                 "",
                 "check the path and its permissions"};
  std::string text;
  char block[16384];
  std::size_t got = 0;
  while ((got = std::fread(block, 1, sizeof block, file)) > 0) text.append(block, got);
  const bool failed = std::ferror(file) != 0;
  if (file != stdin) std::fclose(file);
  if (failed) return Error{ErrorKind::usage, {path}, "cannot read this list to its end", "", ""};
  return text;
}

void add_inputs(CLI::App& app, FleetOptions& options) {
  app.add_option("DIR", options.common.logs,
                 "folders of vehicles, logs, or patterns such as 'logs/*/*.csv'; '-' reads paths "
                 "from standard input, one a line or NUL between them");
  app.add_option("--list", options.list, "read more paths from this file")->type_name("FILE");
  app.add_option("--vehicle-by", options.vehicle_by,
                 "what assigns a log to its vehicle: the folder right below DIR (of a log that is "
                 "named by itself its own folder), or the log's own column")
      ->check(CLI::IsMember({"folder", "column"}))
      ->capture_default_str();
  app.add_option("--vehicle-pattern", options.vehicle_pattern,
                 "or the path: a regular expression whose one group is the vehicle's id")
      ->type_name("REGEX");
  app.add_flag("--any-name", options.any_name, "read files in folders whatever their names");
}

void add_bands(CLI::App& app, FleetOptions& options) {
  app.add_option("--bands", options.bands,
                 "folder of ID.band.json and ID.vehicle.json; bands that are missing are learned "
                 "from the vehicle's own trips and written here")
      ->type_name("DIR");
  app.add_flag("--no-learn", options.no_learn, "learn no band, write none");
  app.add_flag("--relearn", options.relearn, "learn again the bands that were learned here");
}

void add_store(CLI::App& app, FleetOptions& options) {
  app.add_option("--store", options.store,
                 "keep results here: the next run does only what is new or changed, and tells what "
                 "has changed; a run that was killed goes on where it was")
      ->type_name("DIR");
  app.add_flag("--wait", options.wait, "wait while another run is at work in the store");
  app.add_flag("--rehash", options.rehash,
               "look into every log, though its size and times are as they were");
}

void add_run(CLI::App& app, FleetOptions& options) {
  app.add_option("--shard", options.shard,
                 "judge only this share of the vehicles; each share has its own store, and "
                 "'coolband merge' puts them together")
      ->type_name("K/N");
  app.add_flag("--ordered", options.ordered,
               "trips by vehicle and log, not as they are ready (usual with --output or --store)");
  app.add_option("--jobs", options.jobs, "vehicles at work at a time; 0: one a core")
      ->type_name("N")
      ->check(CLI::Range(0, 1024))
      ->capture_default_str();
  app.add_option("--recent", options.recent, "so many of the latest trips say how a vehicle stands")
      ->type_name("N")
      ->check(CLI::Range(1, 1000))
      ->capture_default_str();
}

void add_pages(CLI::App& app, FleetOptions& options, const std::string& what) {
  app.add_option("--pages", options.pages, what)->type_name("DIR");
  app.add_option("--pages-for", options.pages_for, "which trips get a page")
      ->check(CLI::IsMember({"findings", "all"}))
      ->capture_default_str();
}

void add_results(CLI::App& app, FleetOptions& options) {
  app.add_option("--top", options.top, "vehicles and problems told one by one in text")
      ->type_name("N")
      ->check(CLI::Range(1, 100000))
      ->capture_default_str();
  app.add_option("--also", options.also,
                 "write this as well: fleet.html, .csv, .jsonl, .json or .txt (repeatable)")
      ->type_name("FILE")
      ->allow_extra_args(false);
  app.add_option(
         "--fail-on", options.fail_on,
         "exit with 1 when a vehicle calls for this or more, by its latest trips; one that creeps, "
         "or is odd among its like, calls for monitor")
      ->check(CLI::IsMember({"monitor", "service", "stop"}));
}

std::optional<Error> check_also(const FleetOptions& options) {
  for (const std::string& file : options.also) {
    if (form_of_name(file).empty())
      return usage(fmt::format("--also '{}': the ending of the name says no form", file),
                   "end it with .html, .csv, .jsonl, .json or .txt");
  }
  return std::nullopt;
}

} // namespace

std::string form_of_name(const std::string& file) {
  for (const char* form : {"html", "csv", "jsonl", "json"}) {
    if (file.ends_with(std::string(".") + form)) return form;
  }
  return file.ends_with(".txt") ? "text" : "";
}

bool wants_reports(const FleetOptions& options) {
  return options.common.format == "jsonl" ||
         std::any_of(options.also.begin(), options.also.end(),
                     [](const std::string& file) { return form_of_name(file) == "jsonl"; });
}

void add_fleet_options(CLI::App& app, FleetOptions& options) {
  add_inputs(app, options);
  add_bands(app, options);
  add_store(app, options);
  add_reading_options(app, options.common, false);
  add_output_options(app, options.common, {"text", "json", "jsonl", "csv", "html"});
  add_run(app, options);
  add_results(app, options);
  add_pages(app, options, "write a page on each trip with a finding here");
  add_progress_options(app, options.common);
}

void add_merge_options(CLI::App& app, FleetOptions& options) {
  app.add_option("STORE", options.common.logs, "stores of the shards of one fleet, in any order");
  app.add_flag("--partial", options.partial,
               "put together what there is, though shards are missing or have had fewer runs than "
               "others");
  app.add_option("--store", options.store,
                 "keep the results here as well, as one run over all of these vehicles would")
      ->type_name("DIR");
  add_output_options(app, options.common, {"text", "json", "jsonl", "csv", "html"});
  add_results(app, options);
  add_pages(app, options, "the folder of the pages that the shards wrote, for links to them");
}

std::optional<Error> check_fleet_options(const FleetOptions& options) {
  if (options.common.logs.empty() && options.list.empty())
    return usage("no folder and no log given", "name a folder of vehicles, or '-' for a list");
  for (const std::string& path : options.common.logs) {
    if (path.empty()) return usage("a folder has an empty name", "name a folder, or '-'");
  }
  if (!options.vehicle_pattern.empty() && options.vehicle_by == "column")
    return usage("--vehicle-pattern and --vehicle-by column contradict each other",
                 "choose one of them");
  if (options.relearn && options.no_learn)
    return usage("--relearn and --no-learn contradict each other", "choose one of them");
  if (auto error = check_also(options)) return error;
  if (options.wait && options.store.empty())
    return usage("--wait goes with --store", "add --store DIR, or leave --wait out");
  if (options.pages_for == "all" && options.pages.empty())
    return usage("--pages-for goes with --pages", "add --pages DIR, or leave --pages-for out");
  return std::nullopt;
}

std::optional<Error> check_merge_options(const FleetOptions& options) {
  const auto& stores = options.common.logs;
  if (stores.empty()) return usage("no store given", "name the stores of all shards");
  for (const std::string& store : stores) {
    if (store.empty()) return usage("a store has an empty name", "name a folder");
    std::error_code error;
    if (!options.store.empty() && std::filesystem::equivalent(store, options.store, error))
      return usage("--store '" + options.store + "' is one of the stores to be merged",
                   "name another folder");
  }
  return check_also(options);
}

Result<FleetInputs> fleet_inputs(const FleetOptions& options) {
  FleetInputs inputs;
  std::vector<std::string> lists;
  for (const std::string& path : options.common.logs)
    (path == "-" ? lists : inputs.paths).push_back(path);
  if (!options.list.empty()) lists.push_back(options.list);
  for (const std::string& list : lists) {
    const auto text = whole_text(list);
    if (!text) return text.error();
    for (std::string& path : paths_in(*text)) inputs.paths.push_back(std::move(path));
  }
  if (!options.vehicle_pattern.empty())
    inputs.by = VehicleBy::pattern;
  else if (options.vehicle_by == "column")
    inputs.by = VehicleBy::column;
  inputs.pattern = options.vehicle_pattern;
  inputs.any_name = options.any_name;
  auto import = import_options(options.common);
  if (!import) return import.error();
  inputs.import = std::move(*import);
  return inputs;
}

Result<FleetSettings> fleet_settings(const FleetOptions& options) {
  FleetSettings settings;
  auto import = import_options(options.common);
  if (!import) return import.error();
  settings.import = std::move(*import);
  settings.bands = options.bands;
  settings.learn = !options.no_learn;
  settings.relearn = options.relearn;
  settings.rehash = options.rehash;
  settings.recent = options.recent;
  settings.pages = options.pages;
  settings.pages_for_all = options.pages_for == "all";
  settings.want_reports = wants_reports(options);
  timespec now{};
  clock_gettime(CLOCK_REALTIME, &now);
  settings.began_ns = static_cast<std::int64_t>(now.tv_sec) * 1000000000 + now.tv_nsec;
  return settings;
}

} // namespace coolband::cli
