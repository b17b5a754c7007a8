// SPDX-License-Identifier: Apache-2.0
// coolband learn: learns a vehicle's normal band and writes it.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/logs.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/analyse.hpp"
#include "coolband/band/band_file.hpp"
#include "coolband/report/report.hpp"

#include <memory>

namespace coolband::cli {

namespace {

struct LearnCommand {
  CommonOptions common;
  std::string vehicle;
  std::string band;
  bool update = false;
  bool keep_all = false;
};

/// What the existing band holds when --update is given; an empty band otherwise.
Result<NormalBand> earlier_band(const LearnCommand& options) {
  if (!options.update) return NormalBand{};
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

std::vector<DriveSummary> all_drives(const NormalBand& earlier,
                                     const std::vector<LearningDrive>& now) {
  std::vector<DriveSummary> drives = earlier.drives;
  for (const LeftOut& left : earlier.left_out) drives.push_back(left.drive);
  for (const LearningDrive& drive : now) {
    if (drive.summary) drives.push_back(*drive.summary);
  }
  return drives;
}

int write_result(const LearnCommand& options, const NormalBand& band,
                 const std::vector<LearningDrive>& too_short, int code) {
  const std::string file = write_band(band);
  if (const auto error =
          write_output(options.band, file, options.common.overwrite || options.update))
    return fail(*error);
  Rendered rendered(options.common.format);
  const TextStyle style = style_for(options.common.color, options.common.output != "-");
  rendered.add(options.common.format == "text" ? render_band(band, too_short, style)
                                               : file.substr(0, file.size() - 1));
  return rendered.write(options.common, code);
}

int run(LearnCommand& options) {
  CommonOptions& common = options.common;
  if (options.vehicle.empty()) {
    return fail({ErrorKind::usage,
                 {},
                 "--vehicle needs an id",
                 "",
                 "name the vehicle, e.g. --vehicle van-3"});
  }
  if (const auto error = complete(common)) return fail(*error);
  if (const auto error =
          check_target(options.band, common.overwrite || options.update, inputs_of(common)))
    return fail(*error);
  if (const auto error =
          check_target(common.output, common.overwrite, inputs_of(common, options.band)))
    return fail(*error);
  const auto profile = profile_of(common);
  if (!profile) return fail(profile.error());
  const auto earlier = earlier_band(options);
  if (!earlier) return fail(earlier.error());

  std::vector<LearningDrive> drives;
  const int code = for_each_log(common, [&](Recording& recording) {
    for (LearningDrive& drive : summarise_drives(recording)) drives.push_back(std::move(drive));
  });
  if (code == k_usage) return code;
  std::vector<LearningDrive> too_short;
  for (const LearningDrive& drive : drives) {
    if (!drive.summary) too_short.push_back(drive);
  }
  LearnOptions how;
  how.keep_all = options.keep_all;
  auto band = learn_band(all_drives(*earlier, drives), options.vehicle, *profile, how);
  if (!band) {
    for (const LearningDrive& drive : too_short) complain(drive.summary.error());
    return fail(band.error());
  }
  band->extra_json = earlier->extra_json;
  return write_result(options, *band, too_short, code);
}

} // namespace

Command add_learn(CLI::App& program) {
  auto* app =
      program.add_subcommand("learn", "learn a vehicle's normal band from logs of normal running");
  auto options = std::make_shared<LearnCommand>();
  add_common(*app, options->common, {"text", "json"});
  app->add_option("--vehicle", options->vehicle, "the vehicle's id")->required()->type_name("ID");
  app->add_option("--band", options->band, "the band file to write")->required()->type_name("FILE");
  app->add_flag("--update", options->update, "add these drives to the band in FILE");
  app->add_flag("--keep-all", options->keep_all, "learn from drives that do not look normal, too");
  app->footer("Example:\n  coolband learn logs/*.csv --vehicle van-3 --band van-3.band.json");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
