// SPDX-License-Identifier: Apache-2.0
// The outputs of `fleet` and `merge`.
#include "cli/fleet_output.hpp"

#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/fail_level.hpp"
#include "cli/output.hpp"
#include "fleet/fleet_report.hpp"

#include <algorithm>
#include <filesystem>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

bool is_by_trip(const std::string& form) { return form == "jsonl" || form == "csv"; }

bool level_reached(const FleetCounts& counts, const std::string& level) {
  for (const Action action : {Action::none, Action::monitor, Action::service, Action::stop}) {
    if (counts.by_action[static_cast<std::size_t>(action)] > 0 && reached(action, level))
      return true;
  }
  return false;
}

/// An error of the sink ends the run; what the output failed with is told where it is written.
Error stopped() { return {ErrorKind::output, {}, "the output could not be written", "", ""}; }

TextSink into(const Sink& sink) {
  return [&sink](std::string_view text) {
    return sink(text) ? std::nullopt : std::optional(stopped());
  };
}

/// A vehicle's trips in a form that has them one by one; nothing of any other form.
std::optional<Error> put_trips(const VehicleResult& result, const std::string& form,
                               const TextSink& put) {
  if (form == "jsonl") return result.copy_reports(put);
  if (form == "csv") return put(trip_table_rows(result.record));
  return std::nullopt;
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

SummaryOptions summary_options(const FleetOptions& options, const std::string& output,
                               bool has_store) {
  SummaryOptions result;
  result.has_store = has_store;
  result.most = options.common.quiet ? std::min<std::size_t>(options.top, 10) : options.top;
  result.brief = options.common.quiet;
  result.pages = pages_link(options, output);
  result.pages_for_all = options.pages_for == "all";
  return result;
}

std::optional<Error> tell_summary(const FleetOutput& fleet, const std::string& form,
                                  const std::string& output, const Sink& sink) {
  const TextSink put = into(sink);
  const SummaryOptions how = summary_options(fleet.options, output, fleet.has_store);
  if (form == "json") return render_fleet_json(fleet.summary, how, put);
  const auto text =
      form == "html"
          ? render_fleet_html(fleet.summary, how)
          : render_fleet(fleet.summary, how, style_for(fleet.options.common.color, output != "-"));
  if (!text) return text.error();
  return put(*text);
}

std::optional<Error> write_also(const FleetOutput& fleet, const AlsoFile& file) {
  std::optional<Error> failed;
  const FallibleProducer produce = [&](const Sink& sink) {
    const TextSink put = into(sink);
    if (file.form == "csv") failed = put(trip_table_heading());
    if (!failed)
      failed = is_by_trip(file.form) ? file.text.copy_all(put)
                                     : tell_summary(fleet, file.form, file.path, sink);
    return !failed;
  };
  const auto written = write_output_if(file.path, produce, fleet.options.common.overwrite);
  return written ? written : failed;
}

/// Takes all vehicles; reports or rows go to `sink` as they come.
std::optional<Error> take_all(FleetOutput& output, const Feed& feed, const Sink& sink) {
  const std::string& format = output.options.common.format;
  const TextSink put = into(sink);
  if (format == "csv" && !sink(trip_table_heading())) return stopped();
  auto error = feed([&](const VehicleResult& result) -> std::optional<Error> {
    if (auto failed = output.summary.add(result.record, result.judged)) return failed;
    for (AlsoFile& file : output.also) {
      const auto keep = [&](std::string_view text) { return file.text.add(text); };
      if (auto failed = put_trips(result, file.form, keep)) return failed;
    }
    return put_trips(result, format, put);
  });
  if (!error) output.summary.compare();
  return error;
}

} // namespace

FleetOutput fleet_output(const FleetOptions& options, FleetSummary summary, bool has_store,
                         const std::string& folder) {
  FleetOutput output{options, std::move(summary), has_store, {}};
  for (const std::string& file : options.also)
    output.also.push_back({file, form_of_name(file), Spool(folder)});
  return output;
}

std::optional<Error> write_main(FleetOutput& output, const Feed& feed) {
  const CommonOptions& common = output.options.common;
  std::optional<Error> failed;
  if (!is_by_trip(common.format))
    failed = take_all(output, feed, [](std::string_view) { return true; });
  if (failed) return failed;
  const FallibleProducer produce = [&](const Sink& sink) {
    failed = is_by_trip(common.format) ? take_all(output, feed, sink)
                                       : tell_summary(output, common.format, common.output, sink);
    // Nothing half done may take the output's name.
    return !failed;
  };
  const auto written = write_output_if(common.output, produce, common.overwrite);
  return written ? written : failed;
}

std::optional<Error> write_also(const FleetOutput& output) {
  for (const AlsoFile& file : output.also) {
    if (auto error = write_also(output, file)) return error;
  }
  return std::nullopt;
}

std::optional<Error> list_vehicle(Spool& list, const VehicleResult& result) {
  const std::string record = result.results_path.empty() ? record_json(result.record) : "";
  return list.add(vehicle_line(result.record.id, record));
}

void tell_problems(const FleetOutput& output) {
  const FleetCounts& counts = output.summary.counts();
  const std::string& format = output.options.common.format;
  if (counts.problems == 0 || format == "text") return;
  std::size_t told = 0;
  const auto tell = [&](const Problem& problem) {
    if (++told <= output.options.top) remark(words_of(problem));
  };
  for (const Problem& problem : output.summary.problems()) tell(problem);
  (void)output.summary.for_each_ranked([&](const VehicleRecord& vehicle) {
    for (const Problem& problem : problems_of(vehicle)) tell(problem);
    return told < counts.problems;
  });
  if (told > output.options.top)
    remark(fmt::format("and {} more problems", told - output.options.top));
}

int exit_code_of(const FleetOutput& output) {
  const FleetCounts& counts = output.summary.counts();
  if (counts.problems > 0) return k_input;
  return level_reached(counts, output.options.fail_on) ? k_level_reached : k_done;
}

std::optional<Error> check_targets(const FleetOptions& options) {
  std::vector<std::string> outputs = options.also;
  outputs.push_back(options.common.output);
  for (const std::string& output : outputs) {
    if (auto error = check_target(output, options.common.overwrite, {options.list})) return error;
  }
  return std::nullopt;
}

} // namespace coolband::cli
