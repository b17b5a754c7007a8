// SPDX-License-Identifier: Apache-2.0
// coolband plan: from a report to a job.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/plan_options.hpp"
#include "cli/rendered.hpp"
#include "cli/report_file.hpp"
#include "report/plan_report.hpp"

#include <memory>
#include <utility>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

struct PlanOptions {
  OutputOptions output;
  std::string report;
  std::string profile;
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

Result<JobPlan> planned(const PlanOptions& options) {
  auto job = job_options(options.job);
  if (!job) return job.error();
  const auto profile = profile_of(options.profile);
  if (!profile) return profile.error();
  auto trips = read_reports(options.report);
  if (!trips) return trips.error();
  if (*profile) {
    take_profile(**profile, *trips);
    job->vehicle = (*profile)->id;
  }
  return plan_job(*trips, *job);
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
