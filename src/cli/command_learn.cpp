// SPDX-License-Identifier: Apache-2.0
// coolband learn: learns a vehicle's normal band and writes it.
#include "band/history.hpp"
#include "band/json_fields.hpp"
#include "cli/band_lock.hpp"
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/history_record.hpp"
#include "cli/logs.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "cli/usage_error.hpp"
#include "coolband/analyse.hpp"
#include "coolband/band/band_file.hpp"
#include "coolband/report/report.hpp"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace coolband::cli {

namespace {

using Json = nlohmann::ordered_json;

/// So often others may get in between, each of them with a change of its own.
constexpr int k_learn_turns = 20;

struct LearnCommand {
  CommonOptions common;
  std::string vehicle; ///< empty where the profile says it
  std::string band;
  bool update = false;
  bool keep_all = false;
  std::string since;
  std::string service;
};

/// A file that would be replaced, with a history of events that would be lost.
Error lost_history(Error error) {
  error.remedy = "mend the file, or move it away to begin without the history that it holds";
  return error;
}

/// Whether a text that cannot be read as a band is one nevertheless, with a history.
bool seems_to_hold_events(const std::string& text) {
  return text.find("\"coolband.band/") != std::string::npos &&
         text.find("\"history\"") != std::string::npos;
}

/// What was recorded of this vehicle stays when its band is replaced: it is no part of the band,
/// and is read though the rest may be damaged. Error (kind usage) where it cannot be read.
Result<NormalBand> with_history_only(const LearnCommand& options,
                                     const std::optional<std::string>& text) {
  NormalBand none;
  none.vehicle = options.vehicle;
  if (!text) return none;
  const auto json = parse_schema(*text, options.band, "coolband.band/1");
  if (!json) {
    if (seems_to_hold_events(*text)) return lost_history(json.error());
    return none;
  }
  if (json->value("vehicle", Json()) != options.vehicle) return none;
  NormalBand replaced;
  replaced.extra_json = json->dump();
  const auto history = history_of(replaced, options.band);
  if (!history) return lost_history(history.error());
  if (!history->entries.empty()) store_history(none, *history);
  return none;
}

/// What the learning begins with.
struct Earlier {
  std::optional<std::string> text; ///< of the file that is to be replaced
  NormalBand band;                 ///< what of it stays
};

/// What the existing band holds when --update is given; else an empty one.
Result<Earlier> earlier_band(const LearnCommand& options) {
  Earlier earlier;
  if (options.update || options.common.overwrite) earlier.text = text_in(options.band);
  if (!options.update) {
    auto band = with_history_only(options, earlier.text);
    if (!band) return band.error();
    earlier.band = std::move(*band);
    return earlier;
  }
  auto band = earlier.text ? parse_band(*earlier.text, options.band) : read_band(options.band);
  if (!band) return band.error();
  if (band->vehicle != options.vehicle) {
    return Error{ErrorKind::usage,
                 {options.band},
                 "this band is of '" + band->vehicle + "', not of '" + options.vehicle + "'",
                 "",
                 "name the right band or vehicle"};
  }
  earlier.band = std::move(*band);
  return earlier;
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
  if (!known && record_in(*history, entry, options.band)) store_history(band, *history);
  return std::nullopt;
}

int render_result(const LearnCommand& options, const NormalBand& band,
                  const std::vector<LearningDrive>& too_short, int code) {
  const std::string& format = options.common.format;
  Rendered rendered(format);
  if (format == "svg") {
    rendered.add(draw_band(band));
  } else if (format == "json") {
    const std::string file = write_band(band);
    rendered.add(file.substr(0, file.size() - 1));
  } else {
    rendered.add(render_band(band, too_short,
                             style_for(options.common.color, options.common.output != "-")));
  }
  return rendered.write(options.common, code);
}

/// Whether the file was written: not where it is another one than the learning began with.
Result<bool> write_learned(const LearnCommand& options, const Earlier& earlier,
                           const NormalBand& band) {
  const bool replace = options.common.overwrite || options.update;
  std::optional<BandLock> lock;
  // What is no file (a pipe, a terminal) is nobody else's.
  std::error_code none;
  const auto status = std::filesystem::status(options.band, none);
  const bool file = !std::filesystem::exists(status) || std::filesystem::is_regular_file(status);
  if (replace && options.band != "-" && file) {
    auto taken = BandLock::take(options.band);
    if (!taken) return taken.error();
    lock.emplace(std::move(*taken));
    if (text_in(options.band) != earlier.text) return false;
  }
  if (auto error = write_output(options.band, write_band(band), replace)) return *error;
  return true;
}

/// The band of the drives is in its file. Where others have changed that meanwhile, the drives are
/// added to what it has become: nothing of theirs is lost, and no log is read again.
Result<NormalBand> learn_into_file(const LearnCommand& options, Earlier earlier,
                                   const std::vector<DriveSummary>& drives,
                                   const std::optional<VehicleProfile>& profile) {
  LearnOptions how;
  how.keep_all = options.keep_all;
  how.since = options.since;
  for (int turn = 0; turn < k_learn_turns; ++turn) {
    auto band = update_band(earlier.band, drives, profile, how);
    if (!band) return band.error();
    if (const auto error = note_service(options, *band)) return *error;
    const auto written = write_learned(options, earlier, *band);
    if (!written) return written.error();
    if (*written) return band;
    if (!options.common.quiet)
      remark(options.band + ": this band was changed meanwhile; it is learned from what it is now");
    auto now = earlier_band(options);
    if (!now) return now.error();
    earlier = std::move(*now);
  }
  return Error{ErrorKind::output,
               {options.band},
               "this band is changed again and again while it is learned",
               "",
               "learn once whatever writes to it has ended"};
}

std::optional<Error> check_service(const LearnCommand& options) {
  if (!options.since.empty()) return check_day("--since", options.since);
  if (options.service.empty()) return std::nullopt;
  return usage("--service tells of a service, but not when it was",
               "add its day, e.g. --since 2031-05-06");
}

std::optional<Error> check_files(const LearnCommand& options) {
  const CommonOptions& common = options.common;
  if (auto error =
          check_target(options.band, common.overwrite || options.update, inputs_of(common))) {
    const auto text = text_in(options.band);
    const bool exists = error->kind == ErrorKind::output && !common.overwrite && !options.update;
    if (exists && text && parse_band(*text, options.band))
      error->remedy = "add these drives to it with --update, replace it with --overwrite (its "
                      "history stays), or give another name";
    return error;
  }
  return check_target(common.output, common.overwrite, inputs_of(common, options.band));
}

/// Whose band it will be: --vehicle, else the profile's.
std::optional<Error> settle_vehicle(LearnCommand& options, bool vehicle_named,
                                    const std::optional<VehicleProfile>& profile) {
  if (vehicle_named && profile && profile->id != options.vehicle) {
    return Error{ErrorKind::usage,
                 {options.common.profile},
                 "this profile is of '" + profile->id + "', not of '" + options.vehicle + "'",
                 "",
                 "name the right profile or vehicle"};
  }
  if (!vehicle_named && profile) options.vehicle = profile->id;
  if (!options.vehicle.empty()) return std::nullopt;
  return usage("--vehicle is required",
               "write --vehicle ID: the vehicle's id; or give its --profile, which has one");
}

int run(LearnCommand& options, bool vehicle_named) {
  CommonOptions& common = options.common;
  if (vehicle_named && options.vehicle.empty())
    return fail(usage("--vehicle needs an id", "name the vehicle, e.g. --vehicle van-3"));
  if (const auto error = check_service(options)) return fail(*error);
  if (const auto error = complete(common)) return fail(*error);
  if (const auto error = check_files(options)) return fail(*error);
  const auto profile = profile_of(common);
  if (!profile) return fail(profile.error());
  if (const auto error = settle_vehicle(options, vehicle_named, *profile)) return fail(*error);
  auto earlier = earlier_band(options);
  if (!earlier) return fail(earlier.error());

  std::vector<LearningDrive> drives;
  const int code = for_each_log(common, options.vehicle, [&](Recording& recording) {
    for (LearningDrive& drive : summarise_drives(std::move(recording)))
      drives.push_back(std::move(drive));
  });
  if (code == k_usage) return code;
  std::vector<LearningDrive> too_short;
  for (const LearningDrive& drive : drives) {
    if (!drive.summary) too_short.push_back(drive);
  }
  const auto band = learn_into_file(options, std::move(*earlier), usable(drives), *profile);
  if (band) return render_result(options, *band, too_short, code);
  // What cannot be learned from may be the reason.
  if (band.error().kind == ErrorKind::input) {
    for (const LearningDrive& drive : too_short) complain(drive.summary.error());
  }
  return fail(band.error());
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
