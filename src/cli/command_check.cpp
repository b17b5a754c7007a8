// SPDX-License-Identifier: Apache-2.0
// coolband check: judges each trip and writes a report.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/fail_level.hpp"
#include "cli/history_record.hpp"
#include "cli/job_card.hpp"
#include "cli/logs.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/analyse.hpp"
#include "coolband/band/band_file.hpp"
#include "coolband/core/timestamp.hpp"
#include "coolband/report/report.hpp"

#include <algorithm>
#include <memory>
#include <string>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

struct CheckOptions {
  CommonOptions common;
  std::string band;
  std::string fail_on;
  std::vector<std::string> job;
  std::string picture;
  bool explain = false;
  RecordOptions record;
};

/// What is known besides the logs.
struct Known {
  std::optional<VehicleProfile> profile;
  std::optional<NormalBand> band;
  JobCard job;
};

Result<std::optional<NormalBand>> band_of(const CheckOptions& options) {
  if (options.band.empty()) return std::optional<NormalBand>();
  auto band = read_band(options.band);
  if (!band) return band.error();
  return std::optional<NormalBand>(std::move(*band));
}

std::string picture_of(const TripReport& report, const std::string& picture) {
  if (picture == "valve") return draw_valve(report);
  if (picture == "band") return draw_band(*report.finding.band);
  return draw_trip(report);
}

std::string rendered_trip(const TripReport& report, const Rendered& rendered,
                          const CheckOptions& options, const TextStyle& style) {
  if (options.common.format == "text") return render_text(report, style);
  if (options.common.format == "svg") return picture_of(report, options.picture);
  return render_json(report, rendered.indent());
}

std::optional<Error> wrong_picture(const CheckOptions& options) {
  const auto wrong = [](const std::string& what, const std::string& remedy) {
    return Error{ErrorKind::usage, {}, what, "", remedy};
  };
  if (options.picture.empty()) return std::nullopt;
  if (options.common.format != "svg")
    return wrong("--picture goes with --format svg", "add --format svg, or leave --picture out");
  if (options.picture == "band" && options.band.empty())
    return wrong("--picture band needs the vehicle's band", "name it: --band FILE");
  return std::nullopt;
}

Result<Known> known_of(const CheckOptions& options) {
  Known known;
  auto profile = profile_of(options.common);
  if (!profile) return profile.error();
  auto band = band_of(options);
  if (!band) return band.error();
  auto job = job_card(options.job);
  if (!job) return job.error();
  known.profile = std::move(*profile);
  known.band = std::move(*band);
  known.job = std::move(*job);
  if (known.band) {
    if (const auto error = of_another_vehicle(*known.band, options.band, known.profile))
      return *error;
  }
  return known;
}

std::vector<std::string> inputs(const CheckOptions& options) {
  std::vector<std::string> files = inputs_of(options.common, options.band);
  for (const std::string& file : job_files(options.job)) files.push_back(file);
  return files;
}

/// What came of the logs.
struct Outcome {
  std::vector<TripPage> pages; ///< for a page of HTML
  std::size_t trips = 0;
  bool level_reached = false;
  std::vector<HistoryEntry> events; ///< for the history of the band
  std::optional<Error> undated;     ///< a trip that cannot be recorded
};

/// When a trip began; where the log has no date, the day on the job card.
std::string start_of(const Recording& recording, const TripFinding& finding, const JobCard& job) {
  std::string start = format_instant(recording.clock, finding.trip.start_s);
  if (!start.empty()) return start;
  const auto date =
      std::find_if(job.begin(), job.end(), [](const JobField& f) { return f.key == "date"; });
  const auto* text = date == job.end() ? nullptr : std::get_if<std::string>(&date->value);
  return text == nullptr ? "" : *text;
}

/// What the history is told of a trip.
void keep_event(const RecordOptions& options, const Recording& recording,
                const TripFinding& finding, std::size_t number, const JobCard& job,
                Outcome& outcome) {
  const std::string start = start_of(recording, finding, job);
  const auto day = day_for(options, start, recording.source);
  if (!day) {
    outcome.undated = day.error();
    return;
  }
  HistoryEntry entry{*day, EventKind::finding, for_job(finding.judgement.headline, job),
                     std::string(name_of(finding.judgement.condition)),
                     writer_of(options, "check")};
  if (auto trip = event_trip(recording, finding, number)) entry.trips.push_back(std::move(*trip));
  outcome.events.push_back(std::move(entry));
}

/// All of the trips or none.
std::optional<Error> write_events(const CheckOptions& options, const Known& known,
                                  const Outcome& outcome) {
  if (outcome.undated) return outcome.undated;
  if (outcome.events.empty()) return std::nullopt;
  return record_events(options.band, known.band->vehicle, outcome.events);
}

int judge_logs(const CheckOptions& options, const Known& known, Rendered& rendered,
               Outcome& outcome) {
  const TextStyle style = style_for(options.common.color, options.common.output != "-");
  const std::string vehicle = known.band      ? known.band->vehicle
                              : known.profile ? known.profile->id
                                              : std::string();
  return for_each_log(options.common, vehicle, [&](Recording& recording) {
    std::size_t number = 0;
    for (const TripFinding& finding : analyse(recording, known.band, known.profile)) {
      TripReport report = make_report(recording, finding, known.profile);
      report.explain = options.explain;
      report.job = known.job;
      ++outcome.trips;
      if (options.common.format == "html")
        keep_page(outcome.pages, page_of(report, outcome.trips));
      else
        rendered.add(rendered_trip(report, rendered, options, style));
      if (options.record.record)
        keep_event(options.record, recording, finding, number, known.job, outcome);
      ++number;
      outcome.level_reached =
          outcome.level_reached || reached(finding.judgement.action, options.fail_on);
    }
  });
}

int run(CheckOptions& options) {
  CommonOptions& common = options.common;
  if (const auto error = complete(common)) return fail(*error);
  if (const auto error = wrong_picture(options)) return fail(*error);
  if (const auto error = check_record(options.record, options.band)) return fail(*error);
  if (const auto error = check_target(common.output, common.overwrite, inputs(options)))
    return fail(*error);
  const auto known = known_of(options);
  if (!known) return fail(known.error());
  Rendered rendered(common.format);
  Outcome outcome;
  const int code = judge_logs(options, *known, rendered, outcome);
  if (common.format == "svg" && outcome.trips > 1) {
    return fail({ErrorKind::usage,
                 {},
                 fmt::format("a picture shows one trip, and the logs hold {}", outcome.trips),
                 "",
                 "draw one log at a time, or choose --format html for all of them"});
  }
  if (!outcome.pages.empty())
    rendered.add(render_html(outcome.pages, known->job, known->band ? &*known->band : nullptr));
  const int written = rendered.write(common, code);
  if (const auto error = write_events(options, *known, outcome)) return fail(*error);
  return written == k_done && outcome.level_reached ? k_level_reached : written;
}

} // namespace

Command add_check(CLI::App& program) {
  auto* app =
      program.add_subcommand("check", "judge each trip against what is normal for the vehicle");
  auto options = std::make_shared<CheckOptions>();
  add_common(*app, options->common, {"text", "json", "jsonl", "svg", "html"});
  app->add_option("--band", options->band, "the vehicle's normal band, from 'coolband learn'")
      ->type_name("FILE");
  app->add_option("--fail-on", options->fail_on, "exit with 1 when a trip calls for this or more")
      ->check(CLI::IsMember({"monitor", "service", "stop"}));
  add_job_card_option(*app, options->job);
  app->add_option("--picture", options->picture,
                  "what --format svg draws: the trip over time (usual), the apparent valve curve, "
                  "or the band")
      ->check(CLI::IsMember({"trip", "valve", "band"}));
  app->add_flag("--explain", options->explain,
                "show the chain of reasons: rows, conditions, evidence, hypotheses");
  add_record_options(*app, options->record, "the finding");
  app->footer("Examples:\n  coolband check trip.csv --band van.band.json\n  cat trip.csv | "
              "coolband check --profile van.json --format json\n  coolband check trip.csv --band "
              "van.band.json --format html -o report.html");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
