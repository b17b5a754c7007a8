// SPDX-License-Identifier: Apache-2.0
// What to say when the command line does not parse.
#include "cli/suggestion.hpp"

#include "cli/exit_code.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "core/shell_words.hpp"
#include "core/suggest.hpp"

#include <filesystem>
#include <system_error>
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

/// Commands that have an option which the chosen one has not.
std::string owners_of(const CLI::App& program, const std::string& option) {
  std::string owners;
  for (const CLI::App* command : program.get_subcommands({})) {
    if (command->get_option_no_throw(option) == nullptr) continue;
    owners += fmt::format("{}'coolband {}'", owners.empty() ? "" : ", ", command->get_name());
  }
  return owners;
}

/// The option that the parser's message begins with; null when it begins with none.
const CLI::Option* option_of(const CLI::App& program, const std::string& message) {
  const CLI::App* command = chosen(program);
  return (command != nullptr ? *command : program)
      .get_option_no_throw(message.substr(0, message.find_first_of(": ")));
}

/// The values that an option takes, where they are a list; else none.
std::vector<std::string> choices_of(const CLI::Option& option) {
  const std::string type = option.get_type_name();
  const std::size_t open = type.find('{');
  if (open == std::string::npos) return {};
  return CLI::detail::split(type.substr(open + 1, type.rfind('}') - open - 1), ',');
}

/// "--band FILE: the band file to write"
std::string usage_of(const CLI::Option& option) {
  std::string value = option.get_type_name();
  // What a check adds stands behind a colon; spellings of their own have '='.
  if (value.find('=') == std::string::npos) value = value.substr(0, value.find(':'));
  return fmt::format("{} {}: {}", option.get_name(), value, option.get_description());
}

/// All that the command cannot do without and did not get: the parser names the first only.
std::vector<const CLI::Option*> missing(const CLI::App& program, const CLI::ParseError& error) {
  const CLI::App* command = chosen(program);
  if (command == nullptr || dynamic_cast<const CLI::RequiredError*>(&error) == nullptr) return {};
  return command->get_options(
      [](const CLI::Option* option) { return option->get_required() && option->count() == 0; });
}

/// What was given instead of one of the choices: the message is "--format: jsn not in {text,json}".
std::string wrong_choice(const std::string& message) {
  const std::size_t begin = message.find(": ");
  const std::size_t end = message.find(" not in {");
  if (begin == std::string::npos || end == std::string::npos || end < begin + 2) return {};
  return message.substr(begin + 2, end - begin - 2);
}

/// The message is "--format: At Most 1 required but received 2".
bool given_too_often(const std::string& message) {
  return message.find("At Most 1 required") != std::string::npos;
}

std::string lower_line(std::string text) {
  for (char& c : text) {
    if (c == '\n') c = ' ';
  }
  while (!text.empty() && (text.back() == '.' || text.back() == ' ')) text.pop_back();
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z')
    text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

/// What to do about an option that is there and known but wrong, or that is missing.
std::string remedy_of(const CLI::Option& option, const std::string& message) {
  if (given_too_often(message)) return "give it once";
  const auto choices = choices_of(option);
  if (choices.empty()) return "write " + usage_of(option);
  const std::string guess = nearest(wrong_choice(message), choices);
  if (!guess.empty()) return fmt::format("did you mean '{}'?", guess);
  return fmt::format("choose one of {}", CLI::detail::join(choices, ", "));
}

/// A log, or a folder of them, stands where the command should.
std::string remedy_without_command(const std::string& word) {
  std::error_code unknown;
  const auto status = std::filesystem::status(word, unknown);
  if (std::filesystem::is_directory(status))
    return fmt::format("the logs of a folder are judged by: coolband fleet {}", shell_quoted(word));
  if (std::filesystem::exists(status))
    return fmt::format("a log is judged by: coolband check {}", shell_quoted(word));
  return "see 'coolband --help'";
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
  if (const auto wanted = missing(program, error); wanted.size() > 1) {
    const auto name = [](const CLI::Option* option) { return option->get_name(); };
    return CLI::detail::join(wanted, name, " and ") + " are required";
  }
  const std::string message = error.what();
  const CLI::Option* option = option_of(program, message);
  if (option != nullptr && message.ends_with(" missing"))
    return option->get_name() + " needs a value";
  if (option != nullptr && given_too_often(message))
    return option->get_name() + " is given more than once";
  if (const std::string value = wrong_choice(message); option != nullptr && !value.empty())
    return fmt::format("{} does not take '{}'", option->get_name(), value);
  return lower_line(message);
}

std::string remedy_for(const CLI::App& program, const CLI::ParseError& error) {
  const Misspelt unknown = misspelt(program);
  const CLI::App* command = chosen(program);
  if (const std::string owners = owners_of(program, unknown.word);
      command != nullptr && !owners.empty())
    return fmt::format("'{}' is an option of {}", unknown.word, owners);
  if (!unknown.guess.empty()) {
    return fmt::format("did you mean '{}' instead of '{}'?", unknown.guess, unknown.word);
  }
  if (const auto wanted = missing(program, error); wanted.size() > 1) {
    const auto usage = [](const CLI::Option* option) { return usage_of(*option); };
    return "write " + CLI::detail::join(wanted, usage, "; ");
  }
  if (const CLI::Option* option = option_of(program, error.what())) {
    if (unknown.word.empty()) return remedy_of(*option, error.what());
  }
  if (command == nullptr) return remedy_without_command(unknown.word);
  return fmt::format("see 'coolband {} --help'", command->get_name());
}

int exit_after(const std::string& text) {
  const bool ended = !text.empty() && text.back() == '\n';
  if (const auto error = write_output("-", ended ? text : text + "\n", false)) return fail(*error);
  return k_done;
}

} // namespace coolband::cli
