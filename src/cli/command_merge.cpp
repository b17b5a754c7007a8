// SPDX-License-Identifier: Apache-2.0
// coolband merge: puts the results of a fleet's shards together.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/fleet_output.hpp"
#include "cli/rendered.hpp"
#include "fleet/merge_stores.hpp"

#include <filesystem>
#include <memory>

namespace coolband::cli {

namespace {

struct Merging {
  const FleetOptions& options;
  StoreMerge stores;
  std::optional<Store> kept; ///< --store
  Spool listed;
};

std::optional<Error> hand_over(Merging& work, const TakeResult& take) {
  return work.stores.for_each([&](const VehicleResult& result) -> std::optional<Error> {
    if (work.kept) {
      if (auto error = list_vehicle(work.listed, result)) return error;
      if (auto error = copy_to_store(*work.kept, result)) return error;
    }
    return take(result);
  });
}

Result<std::optional<Store>> opened_store(const FleetOptions& options) {
  if (options.store.empty()) return std::optional<Store>();
  std::error_code none;
  if (!options.common.overwrite && std::filesystem::exists(options.store + "/store.json", none))
    return Error{ErrorKind::output,
                 {options.store},
                 "this store exists already",
                 "",
                 "replace its results with --overwrite, or give another name"};
  auto store = Store::open(options.store, false);
  if (!store) return store.error();
  return std::optional(std::move(*store));
}

std::optional<Error> write_all(Merging& work, FleetOutput& output) {
  const Feed feed = [&](const TakeResult& take) { return hand_over(work, take); };
  const RunManifest& manifest = work.stores.manifest();
  std::optional<Error> error;
  if (work.kept) error = work.kept->begin_run(manifest.shards);
  if (!error) error = write_main(output, feed);
  if (!error) error = write_also(output);
  if (!error && work.kept) error = work.kept->complete(manifest, work.listed);
  return error;
}

/// A share may well be empty; a fleet may not.
Error no_logs_in_shards(const FleetOptions& options) {
  return {
      ErrorKind::input,
      {options.common.logs.front()},
      "no shard of this fleet found a log",
      "",
      "give the shards a folder of vehicles with logs such as .csv or .json, or try --any-name"};
}

int merge(const FleetOptions& options) {
  if (const auto error = check_merge_options(options)) return fail(*error);
  if (const auto error = check_targets(options)) return fail(*error);
  const MergeOptions how{options.partial, wants_reports(options) || !options.store.empty()};
  auto stores = StoreMerge::open(options.common.logs, how);
  if (!stores) return fail(stores.error());
  for (const std::string& text : stores->remarks()) remark(text);
  auto kept = opened_store(options);
  if (!kept) return fail(kept.error());
  Merging work{options, std::move(*stores), std::move(*kept), Spool(options.store)};
  const RunManifest& manifest = work.stores.manifest();
  FleetOutput output =
      fleet_output(options, FleetSummary(manifest.run(), options.store), true, options.store);
  output.summary.add_problems(manifest.problems, manifest.passed_over);
  if (auto error = write_all(work, output)) return fail(*error);
  if (output.summary.counts().vehicles + output.summary.counts().problems == 0 && !options.partial)
    return fail(no_logs_in_shards(options));
  if (!options.common.quiet) tell_problems(output);
  return exit_code_of(output);
}

} // namespace

Command add_merge(CLI::App& program) {
  auto* app = program.add_subcommand(
      "merge", "put the results of a fleet's shards together, as if one run had judged all");
  auto options = std::make_shared<FleetOptions>();
  add_merge_options(*app, *options);
  app->footer("Examples:\n  coolband fleet logs --shard 1/2 --bands bands --store s1\n  coolband "
              "fleet logs --shard 2/2 --bands bands --store s2\n  coolband merge s1 s2 --also "
              "fleet.html");
  return {app, [options] { return merge(*options); }};
}

} // namespace coolband::cli
