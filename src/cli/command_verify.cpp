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
#include "repair/moment.hpp"
#include "repair/prove.hpp"
#include "report/verification_report.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <memory>
#include <utility>
#include <vector>

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
  std::optional<double> ambient_before_c;
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

std::vector<double> coolant_of(const Recording& recording) {
  std::vector<double> values(recording.size());
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] = static_cast<double>(recording.column(Role::coolant)[i]);
  // A missing reading is equal to another one.
  std::replace_if(
      values.begin(), values.end(), [](double value) { return std::isnan(value); }, -1e6);
  return values;
}

/// The readings of one log within those of the other: a log that was cut is no drive of its own.
bool is_part(const Recording& one, const Recording& other) {
  constexpr std::size_t k_least_rows = 60; // fewer may be equal by chance
  std::vector<double> part = coolant_of(one);
  std::vector<double> whole = coolant_of(other);
  if (part.size() > whole.size()) part.swap(whole);
  if (part.size() < k_least_rows) return false;
  if (std::all_of(part.begin(), part.end(), [&](double value) { return value == part.front(); }))
    return false;
  const std::boyer_moore_horspool_searcher searcher(part.begin(), part.end());
  return std::search(whole.begin(), whole.end(), searcher) != whole.end();
}

/// Where both logs have a row of one instant, they read the same: the parts of one drive, however
/// either was cut.
bool same_where_both_are(const Recording& one, const Recording& other, double other_begins_s) {
  constexpr std::size_t k_least_rows = 60;
  constexpr double k_one_instant_s = 0.01;
  std::size_t common = 0;
  std::size_t alike = 0;
  for (std::size_t i = 0, j = 0; i < one.size() && j < other.size();) {
    const double ahead_s = one.time_s[i] - (other.time_s[j] + other_begins_s);
    if (std::abs(ahead_s) <= k_one_instant_s) {
      const float a = one.column(Role::coolant)[i];
      const float b = other.column(Role::coolant)[j];
      ++common;
      if (a == b || (std::isnan(a) && std::isnan(b))) ++alike;
      ++i;
      ++j;
    } else {
      ++(ahead_s < 0.0 ? i : j);
    }
  }
  return common >= k_least_rows && 20 * alike >= 19 * common; // all but a few marred rows
}

/// Without dates the readings alone tell.
bool same_drive(const Recording& one, const Recording& other) {
  const auto starts = moment_at(one.clock, 0.0);
  const auto other_starts = moment_at(other.clock, 0.0);
  if (!starts || !other_starts || starts->absolute != other_starts->absolute)
    return is_part(one, other);
  return same_where_both_are(one, other, other_starts->time_s - starts->time_s);
}

const JudgedLog* same_drive_in(const std::vector<JudgedLog>& logs, const Recording& recording) {
  const auto found = std::find_if(logs.begin(), logs.end(), [&](const JudgedLog& log) {
    return same_drive(log.recording, recording);
  });
  return found == logs.end() ? nullptr : &*found;
}

/// The latest drive that was given as one with the fault.
std::pair<std::optional<Moment>, std::string> latest_fault(const std::vector<JudgedLog>& before) {
  std::pair<std::optional<Moment>, std::string> latest;
  for (const JudgedLog& log : before) {
    for (const TripFinding& finding : log.findings) {
      const auto at = moment_at(log.recording.clock, finding.trip.start_s);
      if (!at || (latest.first && !is_earlier(*latest.first, *at))) continue;
      latest = {at, format_instant(log.recording.clock, finding.trip.start_s)};
    }
  }
  return latest;
}

/// What proves nothing: a drive of before the fault, or one that shows it, among those after.
std::optional<Error> no_proof(const RepairCase& repair) {
  const auto [fault, fault_words] = latest_fault(repair.before);
  for (const JudgedLog& log : repair.after) {
    if (const JudgedLog* before = same_drive_in(repair.before, log.recording))
      return Error{ErrorKind::usage,
                   {log.recording.source},
                   "this is the same drive as " + before->recording.source +
                       ", which is given as --before",
                   "",
                   "name it on the side of the repair on which it was made"};
    const auto at = moment_at(log.recording.clock, 0.0);
    if (fault && at && is_earlier(*at, *fault))
      return Error{ErrorKind::usage,
                   {log.recording.source},
                   fmt::format("this drive of {} is older than the fault, which was there on {}",
                               format_instant(log.recording.clock, 0.0), fault_words),
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
  if (&side == &repair.before && options.ambient_before_c)
    common.ambient_c = options.ambient_before_c;
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

/// The drives stand in order where all have a date.
std::string last_start(const std::vector<ProofDrive>& drives) {
  std::string last;
  for (const ProofDrive& drive : drives) {
    if (drive.at) last = drive.start;
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
  app.add_option(
         "--before", options.before,
         "logs of the time with the fault: all of its drives, those that did not show it too")
      ->type_name("LOG");
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
  app.add_option("--ambient-before", options.ambient_before_c,
                 "outside temperature of the drives before, °C, where their logs have none "
                 "(--ambient is of those after)")
      ->type_name("C")
      ->check(within(-60.0, 60.0));
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
