// SPDX-License-Identifier: Apache-2.0
// coolband inspect: how each log was read, and what can be judged from it.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/logs.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "coolband/analyse.hpp"
#include "coolband/report/report.hpp"

#include <memory>

namespace coolband::cli {

namespace {

int run(CommonOptions& options) {
  if (const auto error = complete(options)) return fail(*error);
  if (const auto error = check_target(options.output, options.overwrite, inputs_of(options)))
    return fail(*error);
  const auto profile = profile_of(options);
  if (!profile) return fail(profile.error());
  const TextStyle style = style_for(options.color, options.output != "-");
  Rendered rendered(options.format);
  const int code = for_each_log(options, "", [&](Recording& recording) {
    const auto findings = analyse(recording, std::nullopt, *profile);
    rendered.add(options.format == "text"
                     ? render_inspection(recording, findings, style)
                     : render_inspection_json(recording, findings, rendered.indent()));
  });
  return rendered.write(options, code);
}

} // namespace

Command add_inspect(CLI::App& program) {
  auto* app =
      program.add_subcommand("inspect", "how each log was read, and what can be judged from it");
  auto options = std::make_shared<CommonOptions>();
  add_common(*app, *options, {"text", "json", "jsonl"});
  app->footer("Examples:\n  coolband inspect trip.csv\n  zcat trip.csv.gz | coolband inspect "
              "--format json");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
