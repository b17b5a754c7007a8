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

/// One more file, gathered while the run goes on, written when it is over.
struct AlsoFile {
  std::string path;
  std::string form;
  Spool text; ///< of trips
};

struct Work {
  const FleetOptions& options;
  FleetPlan plan;
  FleetSettings settings;
  std::optional<Store> store;
  FleetSummary summary;
  FleetProgress progress;
  std::vector<AlsoFile> also;
};

bool is_by_trip(const std::string& form) { return form == "jsonl" || form == "csv"; }

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

/// A vehicle's trips in a form that has them one by one; nothing of any other form.
std::optional<Error> put_trips(const VehicleResult& result, const std::string& form,
                               const TextSink& put) {
  if (form == "jsonl") return result.copy_reports(put);
  if (form == "csv") return put(trip_table_rows(result.record));
  return std::nullopt;
}

/// Judges all; reports or rows go to `sink` as they come.
std::optional<Error> judge_all(Work& work, const Sink& sink) {
  const std::string& format = work.options.common.format;
  const auto put = [&](std::string_view text) {
    return sink(text) ? std::nullopt : std::optional(stopped());
  };
  const TakeResult take = [&](const VehicleResult& result) -> std::optional<Error> {
    if (auto error = work.summary.add(result.record, result.judged)) return error;
    for (AlsoFile& file : work.also) {
      const auto keep = [&](std::string_view text) { return file.text.add(text); };
      if (auto error = put_trips(result, file.form, keep)) return error;
    }
    return put_trips(result, format, put);
  };
  RunOptions how;
  how.jobs = jobs_of(work.options);
  how.ordered =
      work.options.ordered || work.options.common.output != "-" || work.store || !work.also.empty();
  if (format == "csv" && !sink(trip_table_heading())) return stopped();
  const CommonOptions& common = work.options.common;
  const FleetDisplay display(work.progress, work.plan.vehicles.size(),
                             !common.no_progress && !common.quiet);
  return run_fleet(work.plan, work.settings, work.store ? &*work.store : nullptr, how,
                   work.progress, take);
}

/// The folder of pages as seen from the overview.
std::string pages_link(const FleetOptions& options, const std::string& output) {
  if (options.pages.empty() || output == "-") return options.pages;
  std::error_code error;
  const auto from = std::filesystem::absolute(output, error).parent_path();
  const auto to = std::filesystem::absolute(options.pages, error);
  const std::string link = to.lexically_normal().lexically_relative(from.lexically_normal());
  return link.empty() ? options.pages : link;
}

SummaryOptions summary_options(const FleetOptions& options, const std::string& output) {
  SummaryOptions result;
  result.has_store = !options.store.empty();
  result.most = options.common.quiet ? std::min<std::size_t>(options.top, 10) : options.top;
  result.brief = options.common.quiet;
  result.pages = pages_link(options, output);
  result.pages_for_all = options.pages_for == "all";
  return result;
}

std::optional<Error> tell_summary(const Work& work, const std::string& form,
                                  const std::string& output, const Sink& sink) {
  const auto put = [&](std::string_view text) {
    return sink(text) ? std::nullopt : std::optional(stopped());
  };
  const SummaryOptions how = summary_options(work.options, output);
  if (form == "json") return render_fleet_json(work.summary, how, put);
  const auto text =
      form == "html"
          ? render_fleet_html(work.summary, how)
          : render_fleet(work.summary, how, style_for(work.options.common.color, output != "-"));
  if (!text) return text.error();
  return put(*text);
}

/// Runs and writes; the first error of either.
std::optional<Error> judge_and_write(Work& work) {
  const CommonOptions& common = work.options.common;
  std::optional<Error> failed;
  if (!is_by_trip(common.format)) failed = judge_all(work, [](std::string_view) { return true; });
  if (failed) return failed;
  const FallibleProducer produce = [&](const Sink& sink) {
    failed = is_by_trip(common.format) ? judge_all(work, sink)
                                       : tell_summary(work, common.format, common.output, sink);
    // Nothing half done may take the output's name.
    return !failed;
  };
  const auto written = write_output_if(common.output, produce, common.overwrite);
  return written ? written : failed;
}

std::optional<Error> write_also(const Work& work, const AlsoFile& file) {
  std::optional<Error> failed;
  const FallibleProducer produce = [&](const Sink& sink) {
    const auto put = [&](std::string_view text) {
      return sink(text) ? std::nullopt : std::optional(stopped());
    };
    if (file.form == "csv") failed = put(trip_table_heading());
    if (!failed)
      failed = is_by_trip(file.form) ? file.text.copy_all(put)
                                     : tell_summary(work, file.form, file.path, sink);
    return !failed;
  };
  const auto written = write_output_if(file.path, produce, work.options.common.overwrite);
  return written ? written : failed;
}

/// On standard error, where trips took standard output.
void tell_problems(const Work& work) {
  const FleetCounts& counts = work.summary.counts();
  const std::string& format = work.options.common.format;
  if (counts.problems == 0 || format == "text") return;
  std::size_t told = 0;
  const auto tell = [&](const Problem& problem) {
    if (++told <= work.options.top) remark(words_of(problem));
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

Error no_logs(const FleetOptions& options) {
  const std::string where =
      options.common.logs.empty() ? options.list : options.common.logs.front();
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
  for (const AlsoFile& file : work.also) {
    if (auto error = write_also(work, file)) return fail(*error);
  }
  if (work.store) {
    if (auto error = work.store->complete()) return fail(*error);
  }
  if (!work.options.common.quiet) tell_problems(work);
  if (work.options.common.verbose) tell_cost(work);
  const FleetCounts& counts = work.summary.counts();
  if (counts.problems > 0) return k_input;
  return level_reached(counts, work.options.fail_on) ? k_level_reached : k_done;
}

std::optional<Error> check_targets(const FleetOptions& options) {
  std::vector<std::string> outputs = options.also;
  outputs.push_back(options.common.output);
  for (const std::string& output : outputs) {
    if (auto error = check_target(output, options.common.overwrite, {options.list})) return error;
  }
  return std::nullopt;
}

int run(const FleetOptions& options) {
  if (const auto error = check_fleet_options(options)) return fail(*error);
  if (const auto error = check_targets(options)) return fail(*error);
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
            {}};
  for (const std::string& file : options.also)
    work.also.push_back({file, form_of_name(file), Spool(folder)});
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
