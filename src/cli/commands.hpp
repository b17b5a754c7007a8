// SPDX-License-Identifier: Apache-2.0
// The commands. Each adds its options to the program and hands back what to run once they are
// parsed.
#pragma once

#include <functional>

#include <CLI/CLI.hpp>

namespace coolband::cli {

/// A parsed command: the subcommand that was added, and the work, which returns an exit code.
struct Command {
  CLI::App* app = nullptr;
  std::function<int()> run;
};

Command add_inspect(CLI::App& program);
Command add_learn(CLI::App& program);
Command add_check(CLI::App& program);
Command add_verify(CLI::App& program);
Command add_history(CLI::App& program);
Command add_coolant(CLI::App& program);
Command add_simulate(CLI::App& program);
Command add_plan(CLI::App& program);
Command add_fleet(CLI::App& program);
Command add_merge(CLI::App& program);
Command add_watch(CLI::App& program);

} // namespace coolband::cli
