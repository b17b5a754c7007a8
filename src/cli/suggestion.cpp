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

/// The first that the user wrote; the parser hands them over in its own order.
std::string first_word(const std::vector<std::string>& extras) {
  for (const std::string& extra : extras) {
    if (extra.rfind('-', 0) == 0) return extra;
  }
  return extras.back();
}

} // namespace

std::string one_line(const CLI::App& program, const CLI::ParseError& error) {
  const auto extras = program.remaining(true);
  const bool unknown = dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr && !extras.empty();
  if (unknown && chosen(program) == nullptr)
    return fmt::format("there is no command '{}'", first_word(extras));
  if (unknown) return fmt::format("there is no option '{}'", first_word(extras));
  std::string text = error.what();
  for (char& c : text) {
    if (c == '\n') c = ' ';
  }
  while (!text.empty() && (text.back() == '.' || text.back() == ' ')) text.pop_back();
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z')
    text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

std::string remedy_for(const CLI::App& program) {
  const CLI::App* command = chosen(program);
  const auto words = known_words(program);
  for (const std::string& extra : program.remaining(true)) {
    const std::string guess = nearest(extra.substr(0, extra.find('=')), words);
    if (!guess.empty()) return fmt::format("did you mean '{}' instead of '{}'?", guess, extra);
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
