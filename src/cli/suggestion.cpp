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

struct Misspelt {
  std::string word;  ///< what nobody knows; empty when every word is known
  std::string guess; ///< what may have been meant; may be empty
};

/// The unknown word that is nearest to a known one, else an option, else any.
Misspelt misspelt(const CLI::App& program) {
  const auto words = known_words(program);
  Misspelt found;
  for (const std::string& extra : program.remaining(true)) {
    const std::string guess = nearest(extra.substr(0, extra.find('=')), words);
    if (!guess.empty()) return {extra, guess};
    if (found.word.empty() || extra.rfind('-', 0) == 0) found.word = extra;
  }
  return found;
}

} // namespace

std::string one_line(const CLI::App& program, const CLI::ParseError& error) {
  const Misspelt unknown = misspelt(program);
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr && !unknown.word.empty()) {
    if (unknown.word[0] == '-') return fmt::format("there is no option '{}'", unknown.word);
    if (program.get_subcommands().empty())
      return fmt::format("there is no command '{}'", unknown.word);
    return fmt::format("'{}' is one argument too many", unknown.word);
  }
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
  const Misspelt unknown = misspelt(program);
  if (!unknown.guess.empty()) {
    return fmt::format("did you mean '{}' instead of '{}'?", unknown.guess, unknown.word);
  }
  const CLI::App* command = chosen(program);
  if (command == nullptr) return "see 'coolband --help'";
  return fmt::format("see 'coolband {} --help'", command->get_name());
}

int exit_after(const std::string& text) {
  const bool ended = !text.empty() && text.back() == '\n';
  if (const auto error = write_output("-", ended ? text : text + "\n", false)) return fail(*error);
  return k_done;
}

} // namespace coolband::cli
