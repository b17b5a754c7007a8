// SPDX-License-Identifier: Apache-2.0
// coolband history: what happened to a vehicle, as its band file keeps it.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/band/band_file.hpp"
#include "report/history_report.hpp"

#include <memory>

namespace coolband::cli {

namespace {

struct HistoryCommand {
  OutputOptions output;
  std::string band;
};

int run(const HistoryCommand& options) {
  const OutputOptions& output = options.output;
  if (const auto error = check_target(output.output, output.overwrite, {options.band}))
    return fail(*error);
  const auto band = read_band(options.band);
  if (!band) return fail(band.error());
  const auto history = history_of(*band, options.band);
  if (!history) return fail(history.error());
  Rendered rendered(output.format);
  rendered.add(output.format == "text"
                   ? render_history(*band, *history, style_for(output.color, output.output != "-"))
                   : render_history_json(*band, *history, rendered.indent()));
  return rendered.write(output, k_done);
}

} // namespace

Command add_history(CLI::App& program) {
  auto* app = program.add_subcommand(
      "history", "findings, services and verifications of a vehicle, as its band file keeps them");
  auto options = std::make_shared<HistoryCommand>();
  app->add_option("--band", options->band, "the vehicle's band file")
      ->required()
      ->type_name("FILE");
  add_output_options(*app, options->output, {"text", "json", "jsonl"});
  app->footer(
      "What writes to it: 'check --record', 'learn --since DATE', 'verify --record'. The "
      "latest 100 entries are kept.\n\nExample:\n  coolband history --band van-3.band.json");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
