// SPDX-License-Identifier: Apache-2.0
// coolband learn: learns a vehicle's normal band and writes it.
#include "band/history.hpp"
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/history_record.hpp"
#include "cli/logs.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/analyse.hpp"
#include "coolband/band/band_file.hpp"
#include "coolband/report/report.hpp"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>

namespace coolband::cli {

namespace {

struct LearnCommand {
  CommonOptions common;
  std::string vehicle; ///< empty where the profile says it
  std::string band;
  bool update = false;
  bool keep_all = false;
  std::string since;
  std::string service;
};

/// The band in the file that is to be written; a pipe or a terminal has none, and would be waited
/// on.
std::optional<NormalBand> band_in(const std::string& path) {
  std::error_code none;
  if (!std::filesystem::is_regular_file(path, none)) return std::nullopt;
  auto band = read_band(path);
  return band ? std::optional(std::move(*band)) : std::nullopt;
}

/// What was recorded of this vehicle stays when its band is replaced: it is no part of the band.
NormalBand with_history_only(const LearnCommand& options) {
  NormalBand none;
  none.vehicle = options.vehicle;
  if (!options.common.overwrite) return none;
  const auto replaced = band_in(options.band);
  if (!replaced || replaced->vehicle != options.vehicle) return none;
  if (const auto history = history_of(*replaced, options.band);
      history && !history->entries.empty())
    store_history(none, *history);
  return none;
}

/// What the existing band holds when --update is given; else an empty one.
Result<NormalBand> earlier_band(const LearnCommand& options) {
  if (!options.update) return with_history_only(options);
  auto band = read_band(options.band);
  if (!band) return band.error();
  if (band->vehicle != options.vehicle) {
    return Error{ErrorKind::usage,
                 {options.band},
                 "this band is of '" + band->vehicle + "', not of '" + options.vehicle + "'",
                 "",
                 "name the right band or vehicle"};
  }
  return band;
}

std::vector<DriveSummary> usable(const std::vector<LearningDrive>& drives) {
  std::vector<DriveSummary> summaries;
  for (const LearningDrive& drive : drives) {
    if (drive.summary) summaries.push_back(*drive.summary);
  }
  return summaries;
}

/// A service begins a new band: it goes into the history, once.
std::optional<Error> note_service(const LearnCommand& options, NormalBand& band) {
  if (options.since.empty()) return std::nullopt;
  auto history = history_of(band, options.band);
  if (!history) return history.error();
  HistoryEntry entry;
  entry.date = *day_of(options.since);
  entry.kind = EventKind::service;
  entry.by = "coolband learn";
  entry.text =
      options.service.empty() ? "service: drives from this day on are normal" : options.service;
  const bool known =
      options.service.empty() &&
      std::any_of(history->entries.begin(), history->entries.end(), [&](const HistoryEntry& other) {
        return other.kind == entry.kind && other.date == entry.date;
      });
  if (!known && add_event(*history, std::move(entry))) store_history(band, *history);
  return std::nullopt;
}

int write_result(const LearnCommand& options, const NormalBand& band,
                 const std::vector<LearningDrive>& too_short, int code) {
  const std::string file = write_band(band);
  if (const auto error =
          write_output(options.band, file, options.common.overwrite || options.update))
    return fail(*error);
  const std::string& format = options.common.format;
  Rendered rendered(format);
  if (format == "svg")
    rendered.add(draw_band(band));
  else if (format == "json")
    rendered.add(file.substr(0, file.size() - 1));
  else
    rendered.add(render_band(band, too_short,
                             style_for(options.common.color, options.common.output != "-")));
  return rendered.write(options.common, code);
}

int run(LearnCommand& options, bool vehicle_named) {
  CommonOptions& common = options.common;
  if (vehicle_named && options.vehicle.empty()) {
    return fail({ErrorKind::usage,
                 {},
                 "--vehicle needs an id",
                 "",
                 "name the vehicle, e.g. --vehicle van-3"});
  }
  if (!options.since.empty()) {
    if (const auto error = check_day("--since", options.since)) return fail(*error);
  }
  if (options.since.empty() && !options.service.empty()) {
    return fail({ErrorKind::usage,
                 {},
                 "--service tells of a service, but not when it was",
                 "",
                 "add its day, e.g. --since 2031-05-06"});
  }
  if (const auto error = complete(common)) return fail(*error);
  if (auto error =
          check_target(options.band, common.overwrite || options.update, inputs_of(common))) {
    if (error->kind == ErrorKind::output && band_in(options.band))
      error->remedy = "add these drives to it with --update, replace it with --overwrite (its "
                      "history stays), or give another name";
    return fail(*error);
  }
  if (const auto error =
          check_target(common.output, common.overwrite, inputs_of(common, options.band)))
    return fail(*error);
  const auto profile = profile_of(common);
  if (!profile) return fail(profile.error());
  if (vehicle_named && *profile && (*profile)->id != options.vehicle) {
    return fail({ErrorKind::usage,
                 {common.profile},
                 "this profile is of '" + (*profile)->id + "', not of '" + options.vehicle + "'",
                 "",
                 "name the right profile or vehicle"});
  }
  if (!vehicle_named && *profile) options.vehicle = (*profile)->id;
  if (options.vehicle.empty()) {
    return fail({ErrorKind::usage,
                 {},
                 "--vehicle is required",
                 "",
                 "write --vehicle ID: the vehicle's id; or give its --profile, which has one"});
  }
  const auto earlier = earlier_band(options);
  if (!earlier) return fail(earlier.error());

  std::vector<LearningDrive> drives;
  const int code = for_each_log(common, options.vehicle, [&](Recording& recording) {
    for (LearningDrive& drive : summarise_drives(recording)) drives.push_back(std::move(drive));
  });
  if (code == k_usage) return code;
  std::vector<LearningDrive> too_short;
  for (const LearningDrive& drive : drives) {
    if (!drive.summary) too_short.push_back(drive);
  }
  LearnOptions how;
  how.keep_all = options.keep_all;
  how.since = options.since;
  auto band = update_band(*earlier, usable(drives), *profile, how);
  if (!band) {
    for (const LearningDrive& drive : too_short) complain(drive.summary.error());
    return fail(band.error());
  }
  if (const auto error = note_service(options, *band)) return fail(*error);
  return write_result(options, *band, too_short, code);
}

} // namespace

Command add_learn(CLI::App& program) {
  auto* app =
      program.add_subcommand("learn", "learn a vehicle's normal band from logs of normal running");
  auto options = std::make_shared<LearnCommand>();
  add_common(*app, options->common, {"text", "json", "svg"});
  auto* vehicle =
      app->add_option("--vehicle", options->vehicle, "the vehicle's id (without it: the profile's)")
          ->type_name("ID");
  app->add_option("--band", options->band, "the band file to write")->required()->type_name("FILE");
  app->add_flag("--update", options->update, "add these drives to the band in FILE");
  app->add_flag("--keep-all", options->keep_all, "learn from drives that do not look normal, too");
  app->add_option("--since", options->since,
                  "a service on this day: only drives from then on make the band, those before it "
                  "are kept for comparison")
      ->type_name("DATE");
  app->add_option("--service", options->service,
                  "what was done on the day of --since, for the history")
      ->type_name("TEXT");
  app->footer("Example:\n  coolband learn logs/*.csv --vehicle van-3 --band van-3.band.json");
  return {app, [options, vehicle] { return run(*options, vehicle->count() > 0); }};
}

} // namespace coolband::cli
