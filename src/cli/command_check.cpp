// SPDX-License-Identifier: Apache-2.0
// coolband check: judges each trip and writes a report.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/history_record.hpp"
#include "cli/logs.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/analyse.hpp"
#include "coolband/band/band_file.hpp"
#include "coolband/core/timestamp.hpp"
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
  RecordOptions record;
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

/// What the history is told of a trip.
Result<HistoryEntry> entry_of(const RecordOptions& options, const Recording& recording,
                              const TripFinding& finding) {
  const std::string start = format_instant(recording.clock, finding.trip.start_s);
  auto day = day_for(options, start, recording.source);
  if (!day) return day.error();
  return HistoryEntry{*day, EventKind::finding, finding.judgement.headline,
                      std::string(name_of(finding.judgement.condition)),
                      writer_of(options, "check")};
}

int run(CheckOptions& options) {
  CommonOptions& common = options.common;
  if (const auto error = complete(common)) return fail(*error);
  if (const auto error = check_record(options.record, options.band)) return fail(*error);
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
  std::vector<HistoryEntry> entries;
  std::optional<Error> undated;
  const int code = for_each_log(common, [&](Recording& recording) {
    for (const TripFinding& finding : analyse(recording, *band, *profile)) {
      TripReport report = make_report(recording, finding, *profile);
      report.explain = options.explain;
      rendered.add(rendered_trip(report, rendered, common.format, style));
      ++trips;
      if (options.record.record) {
        auto entry = entry_of(options.record, recording, finding);
        if (entry)
          entries.push_back(std::move(*entry));
        else
          undated = entry.error();
      }
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
  if (undated) return fail(*undated);
  if (!entries.empty()) {
    if (const auto error = record_events(**band, options.band, entries)) return fail(*error);
  }
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
  add_record_options(*app, options->record, "the finding");
  app->footer("Examples:\n  coolband check trip.csv --band van.band.json\n  cat trip.csv | "
              "coolband check --profile van.json --format json\n  coolband check trip.csv --band "
              "van.band.json --format svg -o valve.svg");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
