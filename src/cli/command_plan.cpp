// SPDX-License-Identifier: Apache-2.0
// coolband plan: from a report to a job.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/job_card.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/plan_options.hpp"
#include "cli/rendered.hpp"
#include "cli/report_file.hpp"
#include "report/plan_report.hpp"

#include <algorithm>
#include <memory>
#include <utility>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

struct PlanOptions {
  OutputOptions output;
  std::string report;
  std::string profile;
  std::vector<std::string> card;
  JobWords job;
};

std::optional<Error> complete(PlanOptions& options) {
  if (!options.report.empty()) return std::nullopt;
  options.report = "-";
  if (!input_is_terminal()) return std::nullopt;
  return Error{ErrorKind::usage,
               {},
               "no report given, and standard input is a terminal",
               "",
               "name a report that coolband check --format json wrote, or pipe one in"};
}

/// A profile given now comes before the one that the report carries.
void take_profile(const VehicleProfile& profile, std::vector<ReportedTrip>& trips) {
  for (ReportedTrip& trip : trips) {
    if (!trip.vehicle_id.empty() && trip.vehicle_id != profile.id) continue;
    trip.vehicle_id = profile.id;
    trip.profile = profile;
  }
}

/// A field given now replaces the one that the report carries.
void take_card(const JobCard& card, std::vector<ReportedTrip>& trips) {
  for (ReportedTrip& trip : trips) {
    for (const JobField& field : card) {
      std::erase_if(trip.job, [&](const JobField& old) { return old.key == field.key; });
      trip.job.push_back(field);
    }
  }
}

/// A figure for a part that this job does not touch was likely meant for another name.
void tell_unused(const JobOptions& job, const JobPlan& plan) {
  const auto tell = [](const char* option, const std::string& part, const char* why) {
    remark(fmt::format("{} {}: {}; not used", option, part, why));
  };
  for (const PartLife& life : job.lives) {
    const bool used =
        std::any_of(plan.together.begin(), plan.together.end(),
                    [&](const TogetherPart& part) { return part.kind.id == life.id; });
    if (!used) tell("--life", life.id, "no part that comes within reach in this job");
  }
  const bool priced = std::any_of(job.prices.begin(), job.prices.end(),
                                  [](const PartPrice& price) { return price.id == "labour-hour"; });
  if (job.hours && !priced)
    remark("--hours needs the price of an hour to be in the cost: --price labour-hour=AMOUNT");
  for (const PartPrice& price : job.prices) {
    const auto named = [&](const auto& part) { return part.kind.id == price.id; };
    const bool used = std::any_of(plan.parts.begin(), plan.parts.end(), named) ||
                      std::any_of(plan.together.begin(), plan.together.end(), named) ||
                      price.id == "labour-hour";
    if (!used) tell("--price", price.id, "no part of this job");
  }
}

Result<JobPlan> planned(const PlanOptions& options) {
  auto job = job_options(options.job);
  if (!job) return job.error();
  const auto profile = profile_of(options.profile);
  if (!profile) return profile.error();
  auto trips = read_reports(options.report);
  if (!trips) return trips.error();
  const auto card = job_card(options.card);
  if (!card) return card.error();
  take_card(*card, *trips);
  if (*profile) {
    take_profile(**profile, *trips);
    job->vehicle = (*profile)->id;
  }
  auto plan = plan_job(*trips, *job);
  if (plan && !options.output.quiet) tell_unused(*job, *plan);
  return plan;
}

std::string rendered_plan(const JobPlan& plan, const OutputOptions& output, int indent) {
  if (output.format == "text")
    return render_plan(plan, style_for(output.color, output.output != "-"));
  if (output.format == "html") return render_plan_html(plan);
  return render_plan_json(plan, indent);
}

int run(PlanOptions& options) {
  if (const auto error = complete(options)) return fail(*error);
  std::vector<std::string> inputs = {options.report};
  for (const std::string& path : {options.profile, options.job.price_file, options.job.life_file})
    if (!path.empty()) inputs.push_back(path);
  for (const std::string& file : job_files(options.card)) inputs.push_back(file);
  const OutputOptions& output = options.output;
  if (const auto error = check_target(output.output, output.overwrite, inputs)) return fail(*error);
  const auto plan = planned(options);
  if (!plan) return fail(plan.error());
  Rendered rendered(output.format);
  rendered.add(rendered_plan(*plan, output, rendered.indent()));
  return rendered.write(output, k_done);
}

} // namespace

Command add_plan(CLI::App& program) {
  auto* app = program.add_subcommand(
      "plan", "from a report to a job: checks, parts, coolant, order of work, proof");
  auto options = std::make_shared<PlanOptions>();
  app->add_option("REPORT", options->report,
                  "what 'coolband check --format json' (or jsonl) wrote; '-' is standard input");
  add_profile_option(*app, options->profile);
  add_job_card_option(*app, options->card);
  add_job_options(*app, options->job);
  add_output_options(*app, options->output, {"text", "json", "jsonl", "html"});
  app->footer(
      "Examples:\n  coolband check trip.csv --band van.band.json --format json | coolband plan "
      "--profile van.json\n  coolband plan report.json --confirmed thermostat-sticking --drained "
      "4.5L\n  coolband plan report.json --price thermostat=24.50 --price labour-hour=60 --life "
      "radiator-hose=200000:3");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
