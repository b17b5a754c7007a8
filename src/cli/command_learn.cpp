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
#include "coolband/core/timestamp.hpp"
#include "coolband/report/report.hpp"

#include <charconv>
#include <memory>
#include <string_view>

namespace coolband::cli {

namespace {

struct LearnCommand {
  CommonOptions common;
  std::string vehicle;
  std::string band;
  bool update = false;
  bool keep_all = false;
  std::string since;
};

/// What the existing band holds when --update is given; an empty band otherwise.
Result<NormalBand> earlier_band(const LearnCommand& options) {
  if (!options.update) {
    NormalBand none;
    none.vehicle = options.vehicle;
    return none;
  }
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

/// "2031-05-06", with or without a time of day behind it.
bool is_date(std::string_view text) {
  if (text.size() < 10 || text[4] != '-' || text[7] != '-') return false;
  const auto number = [&](std::size_t from, std::size_t size) {
    int value = 0;
    const char* const end = text.data() + from + size;
    const auto [stop, code] = std::from_chars(text.data() + from, end, value);
    return code == std::errc() && stop == end ? value : 0;
  };
  return days_from_date(number(0, 4), number(5, 2), number(8, 2)).has_value();
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

int run(LearnCommand& options) {
  CommonOptions& common = options.common;
  if (options.vehicle.empty()) {
    return fail({ErrorKind::usage,
                 {},
                 "--vehicle needs an id",
                 "",
                 "name the vehicle, e.g. --vehicle van-3"});
  }
  if (!options.since.empty() && !is_date(options.since)) {
    return fail({ErrorKind::usage,
                 {},
                 "--since '" + options.since + "' is no date",
                 "",
                 "give the day of the service as YYYY-MM-DD, e.g. --since 2031-05-06"});
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
  how.since = options.since;
  const auto band = update_band(*earlier, usable(drives), *profile, how);
  if (!band) {
    for (const LearningDrive& drive : too_short) complain(drive.summary.error());
    return fail(band.error());
  }
  return write_result(options, *band, too_short, code);
}

} // namespace

Command add_learn(CLI::App& program) {
  auto* app =
      program.add_subcommand("learn", "learn a vehicle's normal band from logs of normal running");
  auto options = std::make_shared<LearnCommand>();
  add_common(*app, options->common, {"text", "json", "svg"});
  app->add_option("--vehicle", options->vehicle, "the vehicle's id")->required()->type_name("ID");
  app->add_option("--band", options->band, "the band file to write")->required()->type_name("FILE");
  app->add_flag("--update", options->update, "add these drives to the band in FILE");
  app->add_flag("--keep-all", options->keep_all, "learn from drives that do not look normal, too");
  app->add_option("--since", options->since,
                  "a service on this day: only drives from then on make the band, those before it "
                  "are kept for comparison")
      ->type_name("DATE");
  app->footer("Example:\n  coolband learn logs/*.csv --vehicle van-3 --band van-3.band.json");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
