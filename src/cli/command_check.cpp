// SPDX-License-Identifier: Apache-2.0
// coolband check: judges each trip and writes a report.
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
#include <string>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

struct CheckOptions {
  CommonOptions common;
  std::string band;
  std::string fail_on;
  bool explain = false;
};

bool reached(Action action, const std::string& level) {
  if (level.empty()) return false;
  const Action least = level == "monitor"   ? Action::monitor
                       : level == "service" ? Action::service
                                            : Action::stop;
  return action >= least;
}

Result<std::optional<NormalBand>> band_of(const CheckOptions& options) {
  if (options.band.empty()) return std::optional<NormalBand>();
  auto band = read_band(options.band);
  if (!band) return band.error();
  return std::optional<NormalBand>(std::move(*band));
}

std::string rendered_trip(const TripReport& report, const Rendered& rendered,
                          const std::string& format, const TextStyle& style) {
  if (format == "text") return render_text(report, style);
  if (format == "svg") return draw_trip(report);
  return render_json(report, rendered.indent());
}

int run(CheckOptions& options) {
  CommonOptions& common = options.common;
  if (const auto error = complete(common)) return fail(*error);
  if (const auto error =
          check_target(common.output, common.overwrite, inputs_of(common, options.band)))
    return fail(*error);
  const auto profile = profile_of(common);
  if (!profile) return fail(profile.error());
  const auto band = band_of(options);
  if (!band) return fail(band.error());
  if (*profile && *band && !(*band)->vehicle.empty() && (*band)->vehicle != (*profile)->id) {
    return fail(
        {ErrorKind::usage,
         {options.band},
         "this band is of '" + (*band)->vehicle + "', the profile of '" + (*profile)->id + "'",
         "",
         "give the band and the profile of one vehicle"});
  }
  const TextStyle style = style_for(common.color, common.output != "-");
  Rendered rendered(common.format);
  bool level_reached = false;
  std::size_t trips = 0;
  const int code = for_each_log(common, [&](Recording& recording) {
    for (const TripFinding& finding : analyse(recording, *band, *profile)) {
      TripReport report = make_report(recording, finding, *profile);
      report.explain = options.explain;
      rendered.add(rendered_trip(report, rendered, common.format, style));
      ++trips;
      level_reached = level_reached || reached(finding.judgement.action, options.fail_on);
    }
  });
  if (common.format == "svg" && trips > 1) {
    return fail({ErrorKind::usage,
                 {},
                 fmt::format("a picture shows one trip, and the logs hold {}", trips),
                 "",
                 "draw one log at a time, or choose --format json for all of them"});
  }
  const int written = rendered.write(common, code);
  return written == k_done && level_reached ? k_level_reached : written;
}

} // namespace

Command add_check(CLI::App& program) {
  auto* app =
      program.add_subcommand("check", "judge each trip against what is normal for the vehicle");
  auto options = std::make_shared<CheckOptions>();
  add_common(*app, options->common, {"text", "json", "jsonl", "svg"});
  app->add_option("--band", options->band, "the vehicle's normal band, from 'coolband learn'")
      ->type_name("FILE");
  app->add_option("--fail-on", options->fail_on, "exit with 1 when a trip calls for this or more")
      ->check(CLI::IsMember({"monitor", "service", "stop"}));
  app->add_flag("--explain", options->explain,
                "show the chain of reasons: rows, conditions, evidence, hypotheses");
  app->footer("Examples:\n  coolband check trip.csv --band van.band.json\n  cat trip.csv | "
              "coolband check --profile van.json --format json\n  coolband check trip.csv --band "
              "van.band.json --format svg -o valve.svg");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
