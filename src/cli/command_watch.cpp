// SPDX-License-Identifier: Apache-2.0
// coolband watch: judges a trip while it is driven.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/fail_level.hpp"
#include "cli/line_output.hpp"
#include "cli/log_tail.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/band/band_file.hpp"
#include "report/watch_line.hpp"
#include "watch.hpp"

#include <chrono>
#include <memory>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

/// So often it is looked whether there is more.
constexpr int k_wait_ms = 200;
/// A logger that is silent for so long pauses, s.
constexpr double k_pause_s = 1.0;
constexpr double k_longest_idle_s = 1e7;

struct WatchCommand {
  CommonOptions common;
  std::string band;
  std::string fail_on;
  std::optional<double> until_idle_s;
};

class Session {
 public:
  Session(const WatchCommand& options, WatchSetup setup)
      : options_(options), tail_(setup.source),
        style_(style_for(options.common.color, options.common.output != "-")),
        watch_(std::move(setup), {[this](const WatchEvent& event) { tell(event); },
                                  [this](const std::string& text) { notice(text); }}) {}

  int run() {
    if (const auto error = output_.open(options_.common.output, options_.common.overwrite))
      return fail(*error);
    auto last = Arrival::Kind::nothing;
    while (!failed_ && last != Arrival::Kind::ended && last != Arrival::Kind::interrupted) {
      auto arrived = tail_.next(k_wait_ms);
      if (!arrived) return fail(arrived.error());
      last = arrived->kind;
      if (!arrived->remark.empty()) notice(arrived->remark);
      if (const auto error = take(*arrived)) return fail(*error);
      if (last == Arrival::Kind::nothing && idle_for_too_long()) break;
    }
    return finish(last);
  }

 private:
  using Clock = std::chrono::steady_clock;

  std::optional<Error> take(const Arrival& arrived) {
    if (arrived.kind == Arrival::Kind::began_anew) watch_.begin_anew();
    if (arrived.kind == Arrival::Kind::bytes) {
      since_ = Clock::now();
      paused_ = false;
      bytes_ += arrived.bytes.size();
      return watch_.take(arrived.bytes);
    }
    if (!paused_ && idle_s() >= k_pause_s) {
      paused_ = true;
      watch_.pause();
    }
    return std::nullopt;
  }

  [[nodiscard]] double idle_s() const {
    return std::chrono::duration<double>(Clock::now() - since_).count();
  }
  [[nodiscard]] bool idle_for_too_long() const {
    return options_.until_idle_s && idle_s() >= *options_.until_idle_s;
  }

  int finish(Arrival::Kind last) {
    const bool interrupted = last == Arrival::Kind::interrupted;
    // Ctrl-C before anything came is no complaint about the log.
    const auto error = bytes_ == 0 && interrupted ? std::nullopt : watch_.end();
    if (options_.common.verbose) remark_cost();
    if (failed_) return fail(*failed_);
    if (error) complain(*error);
    if (interrupted) return k_interrupted;
    if (error) return exit_code_of(error->kind);
    return level_reached_ ? k_level_reached : k_done;
  }

  void tell(const WatchEvent& event) {
    if (failed_) return;
    const std::string line = options_.common.format == "jsonl" ? render_watch_json(event)
                                                               : render_watch_line(event, style_);
    failed_ = output_.write(line);
    const bool judged = event.moment != WatchMoment::begin;
    level_reached_ = level_reached_ || (judged && reached(event.standing.action, options_.fail_on));
  }

  void notice(const std::string& text) const {
    if (!options_.common.quiet) remark(fmt::format("{}: {}", options_.common.logs[0], text));
  }

  void remark_cost() const {
    remark(fmt::format("{} bytes read, peak memory {:.1f} MiB", bytes_, peak_memory_mib()));
  }

  const WatchCommand& options_;
  LogTail tail_;
  LineOutput output_;
  TextStyle style_;
  Watch watch_;
  std::optional<Error> failed_; ///< the output
  bool level_reached_ = false;
  bool paused_ = false;
  std::size_t bytes_ = 0;
  Clock::time_point since_ = Clock::now();
};

std::optional<Error> check_options(WatchCommand& options) {
  CommonOptions& common = options.common;
  if (auto error = complete(common)) return error;
  if (common.logs.size() > 1) {
    return Error{ErrorKind::usage,
                 {},
                 "one log can be watched at a time",
                 "",
                 "start one 'coolband watch' for each"};
  }
  return check_target(common.output, common.overwrite, inputs_of(common, options.band));
}

Result<WatchSetup> setup_of(const WatchCommand& options) {
  WatchSetup setup;
  setup.source = options.common.logs[0];
  auto how = import_options(options.common);
  if (!how) return how.error();
  auto profile = profile_of(options.common);
  if (!profile) return profile.error();
  setup.import = std::move(*how);
  setup.profile = std::move(*profile);
  if (options.band.empty()) return setup;
  auto band = read_band(options.band);
  if (!band) return band.error();
  setup.band = std::move(*band);
  if (auto error = of_another_vehicle(*setup.band, options.band, setup.profile)) return *error;
  return setup;
}

int run(WatchCommand& options) {
  if (const auto error = check_options(options)) return fail(*error);
  auto setup = setup_of(options);
  if (!setup) return fail(setup.error());
  defer_interrupt();
  return Session(options, std::move(*setup)).run();
}

} // namespace

Command add_watch(CLI::App& program) {
  auto* app = program.add_subcommand("watch", "judge a trip while it is driven");
  auto options = std::make_shared<WatchCommand>();
  add_common(*app, options->common, {"text", "jsonl"});
  app->get_option("LOG")->description(
      "a log that is still being written, CSV or JSON lines; '-' is standard input");
  app->add_option("--band", options->band, "the vehicle's normal band, from 'coolband learn'")
      ->type_name("FILE");
  app->add_option("--until-idle", options->until_idle_s,
                  "end when nothing has come for so many seconds (usual: a file is followed until "
                  "Ctrl-C, a pipe until its end)")
      ->type_name("S")
      ->check(within(0.1, k_longest_idle_s));
  app->add_option("--fail-on", options->fail_on, "exit with 1 when this or more was called for")
      ->check(CLI::IsMember({"monitor", "service", "stop"}));
  app->footer(
      "A line when the log can be read, when what it calls for changes, and at the end of "
      "each trip.\n\nExamples:\n  logger | coolband watch - --band van.band.json\n  coolband "
      "watch today.csv --band van.band.json --format jsonl\n  coolband watch trip.csv "
      "--profile van.json --until-idle 600");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
