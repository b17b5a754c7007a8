// SPDX-License-Identifier: Apache-2.0
// coolband verify: did the repair work?
#include "band/history.hpp"
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/history_record.hpp"
#include "cli/job_card.hpp"
#include "cli/logs.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/band/band_file.hpp"
#include "coolband/core/timestamp.hpp"
#include "repair/prove.hpp"
#include "report/verification_report.hpp"

#include <algorithm>
#include <memory>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

struct VerifyCommand {
  CommonOptions common; ///< its logs are those of both sides
  std::string band;
  std::vector<std::string> before;
  std::vector<std::string> after;
  double miss_pct = 5.0;
  std::optional<double> margin_k;
  std::optional<double> shows_pct;
  std::optional<double> rating_c;
  std::string fault;
  std::vector<std::string> job;
  std::string fail_on;
  RecordOptions record;
};

VerifyOptions how_of(const VerifyCommand& options) {
  VerifyOptions how;
  how.allowed_miss = options.miss_pct / 100.0;
  how.margin_k = options.margin_k;
  how.rating_c = options.rating_c;
  if (options.shows_pct) how.shows = *options.shows_pct / 100.0;
  how.fault = cause_named(options.fault);
  return how;
}

/// A log that stands on both sides proves nothing.
std::optional<Error> on_both_sides(const VerifyCommand& options) {
  for (const std::string& log : options.before) {
    if (std::find(options.after.begin(), options.after.end(), log) == options.after.end()) continue;
    return Error{ErrorKind::usage,
                 {log == "-" ? "standard input" : log},
                 "this log is given both as --before and as --after",
                 "",
                 "name it on the side of the repair on which it was made"};
  }
  return std::nullopt;
}

bool same_drive(const Recording& one, const Recording& other) {
  return one.size() == other.size() && one.clock.start_s == other.clock.start_s &&
         one.time_s == other.time_s && one.column(Role::coolant) == other.column(Role::coolant);
}

const JudgedLog* same_drive_in(const std::vector<JudgedLog>& logs, const Recording& recording) {
  const auto found = std::find_if(logs.begin(), logs.end(), [&](const JudgedLog& log) {
    return same_drive(log.recording, recording);
  });
  return found == logs.end() ? nullptr : &*found;
}

/// What proves nothing: a drive of before the fault, or one that shows it, among those after.
std::optional<Error> no_proof(const RepairCase& repair) {
  std::string fault_day;
  for (const JudgedLog& log : repair.before)
    fault_day = std::max(fault_day, day_of(format_instant(log.recording.clock, 0.0)).value_or(""));
  for (const JudgedLog& log : repair.after) {
    if (const JudgedLog* before = same_drive_in(repair.before, log.recording))
      return Error{ErrorKind::usage,
                   {log.recording.source},
                   "this is the same drive as " + before->recording.source +
                       ", which is given as --before",
                   "",
                   "name it on the side of the repair on which it was made"};
    const auto day = day_of(format_instant(log.recording.clock, 0.0));
    if (day && *day < fault_day)
      return Error{ErrorKind::usage,
                   {log.recording.source},
                   fmt::format("this drive of {} is older than the fault, which was there on {}",
                               *day, fault_day),
                   "",
                   "give --after only logs from since the repair; if the logger's clock was wrong, "
                   "mend the log's dates"};
  }
  return std::nullopt;
}

std::optional<Error> checked(VerifyCommand& options) {
  options.common.logs = options.before;
  options.common.logs.insert(options.common.logs.end(), options.after.begin(), options.after.end());
  if (auto error = complete(options.common)) return error;
  if (auto error = on_both_sides(options)) return error;
  if (auto error = check_record(options.record, options.band)) return error;
  if (!options.fault.empty() && options.before.empty())
    return Error{ErrorKind::usage,
                 {},
                 "--fault says what the drives before showed, but none is given",
                 "",
                 "give them with --before, or say how often it showed with --shows"};
  std::vector<std::string> inputs = inputs_of(options.common, options.band);
  for (const std::string& file : job_files(options.job)) inputs.push_back(file);
  return check_target(options.common.output, options.common.overwrite, inputs);
}

/// Reads and judges the logs of one side; what cannot be read is counted. The exit code.
int judge_side(const VerifyCommand& options, const std::vector<std::string>& logs,
               RepairCase& repair, std::vector<JudgedLog>& side) {
  if (logs.empty()) return k_done;
  CommonOptions common = options.common;
  common.logs = logs;
  std::size_t read = 0;
  const int code = for_each_log(common, repair.band.vehicle, [&](Recording& recording) {
    ++read;
    if (const JudgedLog* known = same_drive_in(side, recording)) {
      remark(fmt::format("{}: the same drive as {}; it counts once", recording.source,
                         known->recording.source));
      return;
    }
    auto findings = analyse(recording, repair.band, repair.profile);
    side.push_back({std::move(recording), std::move(findings)});
  });
  repair.unread += logs.size() - read;
  return code;
}

bool any_trip(const std::vector<JudgedLog>& logs) {
  return std::any_of(logs.begin(), logs.end(),
                     [](const JudgedLog& log) { return !log.findings.empty(); });
}

std::string rendered_as(const VerificationReport& report, const Rendered& rendered,
                        const CommonOptions& common) {
  if (common.format == "text")
    return render_verification(report, style_for(common.color, common.output != "-"));
  if (common.format == "svg") return draw_verification(report);
  if (common.format == "html") return render_verification_page(report);
  return render_verification_json(report, rendered.indent());
}

std::string last_start(const std::vector<ProofDrive>& drives) {
  std::string last;
  for (const ProofDrive& drive : drives) {
    if (day_of(drive.start)) last = std::max(last, drive.start);
  }
  return last;
}

/// All drives after, or none where one of them cannot be told from others.
std::vector<EventTrip> trips_after(const RepairCase& repair) {
  std::vector<EventTrip> trips;
  for (const JudgedLog& log : repair.after) {
    for (std::size_t i = 0; i < log.findings.size(); ++i) {
      auto trip = event_trip(log.recording, log.findings[i], i);
      if (!trip) return {};
      trips.push_back(std::move(*trip));
    }
  }
  return trips;
}

/// The exit code of recording the verification.
int record(const VerifyCommand& options, const Verification& v, const RepairCase& repair,
           const JobCard& job) {
  const auto day =
      day_for(options.record, last_start(v.drives.after), v.drives.after.back().source);
  if (!day) return fail(day.error());
  const HistoryEntry entry{*day,
                           EventKind::verification,
                           for_job(v.headline, job),
                           std::string(name_of(v.state)),
                           writer_of(options.record, "verify"),
                           trips_after(repair)};
  const auto error = record_events(options.band, repair.band.vehicle, {entry});
  return error ? fail(*error) : k_done;
}

bool level_reached_by(VerifyState state, const std::string& level) {
  if (level.empty()) return false;
  return state >= (level == "not-yet" ? VerifyState::not_yet : VerifyState::not_verified);
}

int run(VerifyCommand& options) {
  if (const auto error = checked(options)) return fail(*error);
  const CommonOptions& common = options.common;
  const auto profile = profile_of(common);
  if (!profile) return fail(profile.error());
  const auto job = job_card(options.job);
  if (!job) return fail(job.error());
  const auto band = read_band(options.band);
  if (!band) return fail(band.error());
  if (const auto error = of_another_vehicle(*band, options.band, *profile)) return fail(*error);

  RepairCase repair{*band, *profile, {}, {}, 0};
  const int before = judge_side(options, options.before, repair, repair.before);
  if (before == k_usage) return before;
  const int after = judge_side(options, options.after, repair, repair.after);
  if (after == k_usage || !any_trip(repair.after)) return after;
  if (const auto error = no_proof(repair)) return fail(*error);
  const Verification verification = prove(repair, how_of(options));
  Rendered rendered(common.format);
  rendered.add(rendered_as({verification, *band, band->vehicle, *job}, rendered, common));
  const int code = rendered.write(common, std::max(before, after));
  if (code != k_done && code != k_input) return code;
  if (options.record.record) {
    if (const int failed = record(options, verification, repair, *job); failed != k_done)
      return failed;
  }
  return code == k_done && level_reached_by(verification.state, options.fail_on) ? k_level_reached
                                                                                 : code;
}

void add_options(CLI::App& app, VerifyCommand& options) {
  app.add_option("--band", options.band, "the vehicle's normal band, learned before the fault")
      ->required()
      ->type_name("FILE");
  app.add_option("--before", options.before, "logs of drives with the fault")->type_name("LOG");
  app.add_option("--after", options.after, "logs of drives since the repair")
      ->required()
      ->type_name("LOG");
  app.add_option("--miss", options.miss_pct,
                 "chance of having missed the fault that is accepted, %")
      ->type_name("PERCENT")
      ->check(within(0.01, 50.0))
      ->capture_default_str();
  app.add_option("--margin", options.margin_k,
                 "levels that differ by less are the same, K (3, or more where the vehicle's own "
                 "drives differ more)")
      ->type_name("K")
      ->check(within(0.1, 30.0));
  app.add_option("--shows", options.shows_pct,
                 "the fault showed in so many of the drives, %, where the logs do not tell")
      ->type_name("PERCENT")
      ->check(within(1.0, 99.9));
  app.add_option("--rating", options.rating_c,
                 "stamped on the thermostat that was fitted, °C, if it is another one")
      ->type_name("C")
      ->check(within(40.0, 120.0));
  app.add_option("--fault", options.fault,
                 "what the fault was, where the drives before do not name it by themselves")
      ->type_name("CONDITION")
      ->check(CLI::IsMember(cause_names()));
  add_job_card_option(app, options.job);
  app.add_option("--fail-on", options.fail_on, "exit with 1 when the result is this or worse")
      ->check(CLI::IsMember({"not-yet", "not-verified"}));
  add_record_options(app, options.record, "the result");
}

} // namespace

Command add_verify(CLI::App& program) {
  auto* app = program.add_subcommand(
      "verify", "did the repair work? drives before and after against the vehicle's normal");
  auto options = std::make_shared<VerifyCommand>();
  add_options(*app, *options);
  add_reading_options(*app, options->common);
  add_output_options(*app, options->common, {"text", "json", "jsonl", "svg", "html"});
  add_progress_options(*app, options->common);
  app->footer("States: verified; not-yet (too few telling drives, or air still about); "
              "not-verified.\n\nExample:\n  coolband verify --band van.band.json --before "
              "fault/*.csv --after since/*.csv --record");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
