// SPDX-License-Identifier: Apache-2.0
// What to say when the command line does not parse.
#include "cli/suggestion.hpp"

#include "cli/exit_code.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "core/suggest.hpp"

#include <vector>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

const CLI::App* chosen(const CLI::App& program) {
  const auto commands = program.get_subcommands();
  return commands.empty() ? nullptr : commands.front();
}

/// Every word that would have been right in place of an unknown one.
std::vector<std::string> known_words(const CLI::App& program) {
  std::vector<std::string> words;
  const CLI::App* command = chosen(program);
  if (command == nullptr) {
    for (const CLI::App* candidate : program.get_subcommands({}))
      words.push_back(candidate->get_name());
  }
  for (const CLI::Option* option : (command != nullptr ? *command : program).get_options()) {
    for (const std::string& name : option->get_lnames()) words.push_back("--" + name);
  }
  return words;
}

} // namespace

std::string one_line(const CLI::ParseError& error) {
  std::string text = error.what();
  for (char& c : text) {
    if (c == '\n') c = ' ';
  }
  while (!text.empty() && (text.back() == '.' || text.back() == ' ')) text.pop_back();
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z')
    text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

std::string remedy_for(const CLI::App& program, const CLI::ParseError& error) {
  const CLI::App* command = chosen(program);
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr) {
    const auto words = known_words(program);
    for (const std::string& extra : program.remaining(true)) {
      const std::string guess = nearest(extra.substr(0, extra.find('=')), words);
      if (!guess.empty()) return fmt::format("did you mean '{}'?", guess);
    }
  }
  return command == nullptr ? "see 'coolband --help'"
                            : fmt::format("see 'coolband {} --help'", command->get_name());
}

int exit_after(const std::string& text) {
  const bool ended = !text.empty() && text.back() == '\n';
  if (const auto error = write_output("-", ended ? text : text + "\n", false)) return fail(*error);
  return k_done;
}

} // namespace coolband::cli
