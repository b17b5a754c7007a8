// SPDX-License-Identifier: Apache-2.0
// coolband fleet: judges the trips of many vehicles and says which need attention first.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/fleet_display.hpp"
#include "cli/fleet_output.hpp"
#include "cli/rendered.hpp"
#include "coolband/version.hpp"
#include "fleet/run_fleet.hpp"
#include "fleet/store.hpp"

#include <memory>
#include <thread>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

struct Work {
  const FleetOptions& options;
  Shards shards;
  FleetPlan plan;
  FleetSettings settings;
  std::optional<Store> store;
  RunManifest manifest;
  Spool listed; ///< a line a vehicle, for the store
  FleetProgress progress;
};

std::size_t jobs_of(const FleetOptions& options) {
  if (options.jobs > 0) return options.jobs;
  return std::max(1U, std::thread::hardware_concurrency());
}

/// Judges all vehicles and hands them over.
std::optional<Error> judge_all(Work& work, const TakeResult& take) {
  RunOptions how;
  how.jobs = jobs_of(work.options);
  how.ordered = work.options.ordered || work.options.common.output != "-" || work.store ||
                !work.options.also.empty();
  const CommonOptions& common = work.options.common;
  const FleetDisplay display(work.progress, work.plan.vehicles.size(),
                             !common.no_progress && !common.quiet);
  const TakeResult list_and_take = [&](const VehicleResult& result) -> std::optional<Error> {
    if (auto error = list_vehicle(work.listed, result)) return error;
    return take(result);
  };
  return run_fleet(work.plan, work.settings, work.store ? &*work.store : nullptr, how,
                   work.progress, work.store ? list_and_take : take);
}

void tell_cost(const Work& work) {
  remark(fmt::format("{} of {} trips judged anew, {} at a time, peak memory {:.1f} MiB",
                     work.progress.judged.load(), work.progress.trips.load(), jobs_of(work.options),
                     peak_memory_mib()));
}

Error no_logs(const FleetOptions& options) {
  const std::string where =
      options.common.logs.empty() ? options.list : options.common.logs.front();
  return {ErrorKind::input,
          {where},
          "no logs were found here",
          "",
          "name a folder of vehicles with logs such as .csv or .json, or try --any-name"};
}

/// A share may well be empty; a fleet may not.
bool found_nothing(const Work& work, const FleetCounts& counts) {
  return counts.vehicles + counts.problems == 0 &&
         (work.shards.complete() || work.manifest.fleets.front().vehicles == 0);
}

int finish(Work& work, FleetOutput& output) {
  const Feed feed = [&](const TakeResult& take) { return judge_all(work, take); };
  if (work.store) {
    if (auto error = work.store->begin_run(work.shards)) return fail(*error);
  }
  if (auto error = write_main(output, feed)) return fail(*error);
  if (found_nothing(work, output.summary.counts())) return fail(no_logs(work.options));
  if (auto error = write_also(output)) return fail(*error);
  if (work.store) {
    if (auto error = work.store->complete(work.manifest, work.listed)) return fail(*error);
  }
  if (!work.options.common.quiet) tell_problems(output);
  if (work.options.common.verbose) tell_cost(work);
  return exit_code_of(output);
}

Result<std::optional<Store>> opened_store(const FleetOptions& options, const Shards& shards) {
  if (options.store.empty()) return std::optional<Store>();
  auto store = Store::open(options.store, options.wait);
  if (!store) return store.error();
  if (store->shards() && *store->shards() != shards)
    return Error{ErrorKind::usage,
                 {options.store},
                 "this store holds the results of " + words_of(*store->shards()) + ", not of " +
                     words_of(shards),
                 "",
                 "give each shard a store of its own"};
  return std::optional(std::move(*store));
}

RunManifest manifest_of(const Work& work) {
  RunManifest manifest;
  manifest.version = version();
  manifest.judged_by = judged_by(work.settings, work.plan.by_column);
  manifest.recent = work.settings.recent;
  manifest.shards = work.shards;
  if (work.store) manifest.runs = {work.store->run()};
  manifest.fleets = {fleet_seen(work.plan)};
  manifest.problems = work.plan.problems;
  manifest.passed_over = work.plan.passed_over;
  return manifest;
}

Result<Shards> shards_of(const FleetOptions& options) {
  return options.shard.empty() ? Result<Shards>(Shards{}) : parse_shard(options.shard);
}

int run_in(const FleetOptions& options, const Shards& shards, FleetSettings settings,
           std::optional<Store> store) {
  const auto inputs = fleet_inputs(options);
  if (!inputs) return fail(inputs.error());
  if (store && settings.bands.empty()) settings.bands = store->bands();
  auto plan = plan_fleet(*inputs);
  if (!plan) return fail(plan.error());
  for (const std::string& text : plan->remarks) remark(text);
  const std::size_t number = store ? store->run() : 0;
  const std::string folder = store ? store->folder() : std::string();
  Work work{options,          shards, std::move(*plan), std::move(settings),
            std::move(store), {},     Spool(folder),    {}};
  work.manifest = manifest_of(work);
  keep_shards(work.plan, shards);
  FleetOutput output =
      fleet_output(options, FleetSummary(number, folder), work.store.has_value(), folder);
  output.summary.add_problems(work.plan.problems, work.plan.passed_over);
  return finish(work, output);
}

int run(const FleetOptions& options) {
  if (const auto error = check_fleet_options(options)) return fail(*error);
  if (const auto error = check_targets(options)) return fail(*error);
  const auto shards = shards_of(options);
  if (!shards) return fail(shards.error());
  auto settings = fleet_settings(options);
  if (!settings) return fail(settings.error());
  auto store = opened_store(options, *shards);
  if (!store) return fail(store.error());
  return run_in(options, *shards, std::move(*settings), std::move(*store));
}

} // namespace

Command add_fleet(CLI::App& program) {
  auto* app = program.add_subcommand(
      "fleet", "judge the trips of many vehicles and say which need attention first");
  auto options = std::make_shared<FleetOptions>();
  add_fleet_options(*app, *options);
  app->footer("Examples:\n  coolband fleet logs --bands bands\n  coolband fleet logs --bands bands "
              "--store store --format html -o fleet.html --overwrite\n  find logs -name '*.csv' "
              "-print0 | coolband fleet - --bands bands --format jsonl -o trips.jsonl");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
