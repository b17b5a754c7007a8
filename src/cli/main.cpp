// SPDX-License-Identifier: Apache-2.0
// The program: parses the command line, runs one command, and lets nothing but an exit code out.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "cli/suggestion.hpp"
#include "coolband/version.hpp"

#include <exception>
#include <new>

namespace {

using namespace coolband;
using namespace coolband::cli;

constexpr const char* k_description =
    "coolband: reads coolant-temperature logs, learns what is normal for a vehicle,\n"
    "judges trips against it, and says what to check.";

constexpr const char* k_footer =
    "Examples:\n"
    "  coolband inspect trip.csv\n"
    "  coolband learn normal/*.csv --vehicle van-3 --band van-3.band.json\n"
    "  coolband check trip.csv --band van-3.band.json\n\n"
    "Exit codes: 0 done; 1 --fail-on level reached; 2 wrong usage or configuration;\n"
    "3 an input could not be used; 4 output failed; 5 internal error; 130 interrupted.";

int usage_error(const CLI::App& program, const CLI::ParseError& error) {
  const Error described{
      ErrorKind::usage, {}, one_line(program, error), "", remedy_for(program, error)};
  return fail(described);
}

int run(int argc, char** argv) {
  CLI::App program(k_description, "coolband");
  program.footer(k_footer);
  program.set_version_flag("--version", "coolband " + std::string(version()));
  program.require_subcommand(0, 1);
  const Command commands[] = {add_inspect(program), add_learn(program),   add_check(program),
                              add_plan(program),    add_verify(program),  add_history(program),
                              add_watch(program),   add_coolant(program), add_simulate(program),
                              add_fleet(program),   add_merge(program)};
  try {
    program.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    return exit_after(program.help());
  } catch (const CLI::CallForVersion&) {
    return exit_after(program.version() + "\n");
  } catch (const CLI::ParseError& error) {
    return usage_error(program, error);
  }
  for (const Command& command : commands) {
    if (command.app->parsed()) return command.run();
  }
  tell(program.help());
  return k_usage;
}

} // namespace

int main(int argc, char** argv) {
  hold_standard_streams();
  watch_for_interrupt();
  try {
    return run(argc, argv);
  } catch (const std::bad_alloc&) {
    return fail(
        {ErrorKind::internal, {}, "out of memory", "", "check fewer or smaller logs at a time"});
  } catch (const std::exception& error) {
    return fail({ErrorKind::internal,
                 {},
                 std::string("internal error: ") + error.what(),
                 "",
                 "please report this with the log that caused it"});
  }
}
