// SPDX-License-Identifier: Apache-2.0
// coolband fleet: judges the trips of many vehicles and says which need attention first.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/fleet_display.hpp"
#include "cli/fleet_options.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "fleet/fleet_report.hpp"
#include "fleet/run_fleet.hpp"
#include "fleet/store.hpp"

#include <filesystem>
#include <memory>
#include <thread>

#include <sys/resource.h>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

struct Work {
  const FleetOptions& options;
  FleetPlan plan;
  FleetSettings settings;
  std::optional<Store> store;
  FleetSummary summary;
  FleetProgress progress;
  SummaryOptions summary_options;
};

std::size_t jobs_of(const FleetOptions& options) {
  if (options.jobs > 0) return options.jobs;
  return std::max(1U, std::thread::hardware_concurrency());
}

bool level_reached(const FleetCounts& counts, const std::string& level) {
  if (level.empty()) return false;
  const auto least = level == "monitor"   ? Action::monitor
                     : level == "service" ? Action::service
                                          : Action::stop;
  for (auto i = static_cast<std::size_t>(least); i < counts.by_action.size(); ++i) {
    if (counts.by_action[i] > 0) return true;
  }
  return false;
}

/// An error of the sink ends the run; what the output failed with is told where it is written.
Error stopped() { return {ErrorKind::output, {}, "the output could not be written", "", ""}; }

/// Judges all; reports or rows go to `sink` as they come.
std::optional<Error> judge_all(Work& work, const Sink& sink) {
  const std::string& format = work.options.common.format;
  const auto put = [&](std::string_view text) {
    return sink(text) ? std::nullopt : std::optional(stopped());
  };
  const TakeResult take = [&](const VehicleResult& result) -> std::optional<Error> {
    if (auto error = work.summary.add(result.record, result.judged)) return error;
    if (format == "jsonl") return result.copy_reports(put);
    if (format == "csv") return put(trip_table_rows(result.record));
    return std::nullopt;
  };
  RunOptions how;
  how.jobs = jobs_of(work.options);
  how.ordered = work.options.ordered || work.options.common.output != "-" || work.store;
  if (format == "csv" && !sink(trip_table_heading())) return stopped();
  const CommonOptions& common = work.options.common;
  const FleetDisplay display(work.progress, work.plan.vehicles.size(),
                             !common.no_progress && !common.quiet);
  return run_fleet(work.plan, work.settings, work.store ? &*work.store : nullptr, how,
                   work.progress, take);
}

std::optional<Error> tell_summary(Work& work, const Sink& sink) {
  const CommonOptions& common = work.options.common;
  const auto put = [&](std::string_view text) {
    return sink(text) ? std::nullopt : std::optional(stopped());
  };
  if (common.format == "json") return render_fleet_json(work.summary, work.summary_options, put);
  const auto text = common.format == "html"
                        ? render_fleet_html(work.summary, work.summary_options)
                        : render_fleet(work.summary, work.summary_options,
                                       style_for(common.color, common.output != "-"));
  if (!text) return text.error();
  return put(*text);
}

/// Runs and writes; the first error of either.
std::optional<Error> judge_and_write(Work& work) {
  const CommonOptions& common = work.options.common;
  const bool by_trip = common.format == "jsonl" || common.format == "csv";
  std::optional<Error> failed;
  if (!by_trip) failed = judge_all(work, [](std::string_view) { return true; });
  if (failed) return failed;
  const FallibleProducer produce = [&](const Sink& sink) {
    failed = by_trip ? judge_all(work, sink) : tell_summary(work, sink);
    // Nothing half done may take the output's name.
    return !failed;
  };
  const auto written = write_output_if(common.output, produce, common.overwrite);
  return written ? written : failed;
}

/// On standard error, where trips took standard output.
void tell_problems(const Work& work) {
  const FleetCounts& counts = work.summary.counts();
  const std::string& format = work.options.common.format;
  if (counts.problems == 0 || format == "text") return;
  std::size_t told = 0;
  const auto tell = [&](const Problem& problem) {
    if (++told <= work.options.top) fmt::print(stderr, "coolband: {}\n", words_of(problem));
  };
  for (const Problem& problem : work.summary.problems()) tell(problem);
  (void)work.summary.for_each_ranked([&](const VehicleRecord& vehicle) {
    for (const Problem& problem : vehicle.problems) tell(problem);
    for (const LogRecord& log : vehicle.logs) {
      for (const Problem& problem : log.problems) tell(problem);
    }
    return told < counts.problems;
  });
  if (told > work.options.top) remark(fmt::format("and {} more problems", told - work.options.top));
}

void tell_cost(const Work& work) {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  remark(fmt::format("{} of {} trips judged anew, {} at a time, peak memory {:.1f} MiB",
                     work.progress.judged.load(), work.progress.trips.load(), jobs_of(work.options),
                     static_cast<double>(usage.ru_maxrss) / 1024.0));
}

/// The folder of pages as seen from the overview.
std::string pages_link(const FleetOptions& options) {
  if (options.pages.empty() || options.common.output == "-") return options.pages;
  std::error_code error;
  const auto from = std::filesystem::absolute(options.common.output, error).parent_path();
  const auto to = std::filesystem::absolute(options.pages, error);
  const std::string link = to.lexically_normal().lexically_relative(from.lexically_normal());
  return link.empty() ? options.pages : link;
}

SummaryOptions summary_options(const FleetOptions& options) {
  SummaryOptions result;
  result.has_store = !options.store.empty();
  result.most = options.common.quiet ? std::min<std::size_t>(options.top, 10) : options.top;
  result.brief = options.common.quiet;
  result.pages = pages_link(options);
  result.pages_for_all = options.pages_for == "all";
  return result;
}

Error no_logs(const FleetOptions& options) {
  const std::string where = options.common.logs.empty() ? options.list : options.common.logs.front();
  return {ErrorKind::input,
          {where},
          "no logs were found here",
          "",
          "name a folder of vehicles with logs such as .csv or .json, or try --any-name"};
}

int finish(Work& work) {
  if (auto error = judge_and_write(work)) return fail(*error);
  if (work.summary.counts().vehicles + work.summary.counts().problems == 0)
    return fail(no_logs(work.options));
  if (work.store) {
    if (auto error = work.store->complete()) return fail(*error);
  }
  if (!work.options.common.quiet) tell_problems(work);
  if (work.options.common.verbose) tell_cost(work);
  const FleetCounts& counts = work.summary.counts();
  if (counts.problems > 0) return k_input;
  return level_reached(counts, work.options.fail_on) ? k_level_reached : k_done;
}

int run(const FleetOptions& options) {
  const CommonOptions& common = options.common;
  if (const auto error = check_fleet_options(options)) return fail(*error);
  if (const auto error = check_target(common.output, common.overwrite, {options.list}))
    return fail(*error);
  const auto inputs = fleet_inputs(options);
  if (!inputs) return fail(inputs.error());
  auto settings = fleet_settings(options);
  if (!settings) return fail(settings.error());
  std::optional<Store> store;
  if (!options.store.empty()) {
    auto opened = Store::open(options.store, options.wait);
    if (!opened) return fail(opened.error());
    store = std::move(*opened);
    if (settings->bands.empty()) settings->bands = store->bands();
  }
  auto plan = plan_fleet(*inputs);
  if (!plan) return fail(plan.error());
  const std::size_t number = store ? store->run() : 0;
  const std::string folder = store ? store->folder() : std::string();
  Work work{options,
            std::move(*plan),
            std::move(*settings),
            std::move(store),
            FleetSummary(number, folder),
            {},
            summary_options(options)};
  work.summary.add_problems(work.plan.problems, work.plan.passed_over);
  return finish(work);
}

} // namespace

Command add_fleet(CLI::App& program) {
  auto* app = program.add_subcommand(
      "fleet", "judge the trips of many vehicles and say which need attention first");
  auto options = std::make_shared<FleetOptions>();
  add_fleet_options(*app, *options);
  app->footer("Examples:\n  coolband fleet logs --bands bands\n  coolband fleet logs --bands bands "
              "--store store --format html -o fleet.html --overwrite\n  find logs -name '*.csv' "
              "-print0 | coolband fleet - --bands bands --format jsonl -o trips.jsonl");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
