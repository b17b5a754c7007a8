// SPDX-License-Identifier: Apache-2.0
// A file tells what it is by its schema, as a rule in its first key.
#include "import/own_file.hpp"

#include "core/shell_words.hpp"
#include "import/input_error.hpp"

#include <array>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::string_view k_schema = "coolband.";
// Notes may stand before the schema in a file that somebody has written.
constexpr std::size_t k_looked_at = 2000;

struct OwnFile {
  std::string_view schema;
  std::string_view what;
  std::string_view remedy; ///< {} stands for the file, as a word for a shell
};

constexpr std::array<OwnFile, 5> k_known{{
    {"vehicle", "what is known of a vehicle",
     "give it as --profile {}, and a log of the vehicle beside it"},
    {"band", "a normal band", "give it as --band {}, and a log of the vehicle beside it"},
    {"scenario", "a scenario", "make a log of it: coolband simulate {} -o LOG"},
    {"report", "a report of 'coolband check'",
     "give the log that it is of; a job comes of it by: coolband plan {}"},
    {"fleet", "a report of 'coolband fleet'", "give the logs that it is of"},
}};

std::string_view after_blanks(std::string_view text) {
  const std::size_t at = text.find_first_not_of(" \t\r\n");
  return at == std::string_view::npos ? std::string_view() : text.substr(at);
}

/// What stands behind "schema": "coolband. up to the stroke, and the number with it.
std::string_view own_schema(std::string_view text) {
  constexpr std::string_view key = "\"schema\"";
  text = text.substr(0, k_looked_at);
  const std::size_t at = text.find(key);
  if (at == std::string_view::npos) return {};
  std::string_view rest = after_blanks(text.substr(at + key.size()));
  if (!rest.starts_with(':')) return {};
  rest = after_blanks(rest.substr(1));
  if (!rest.starts_with('"') || !rest.substr(1).starts_with(k_schema)) return {};
  const std::size_t end = rest.find('"', 1);
  return end == std::string_view::npos ? std::string_view() : rest.substr(1, end - 1);
}

} // namespace

std::optional<Error> own_file_error(std::string_view text, const std::string& name) {
  const std::string_view schema = own_schema(text);
  if (schema.empty()) return std::nullopt;
  const std::string_view kind = schema.substr(k_schema.size(), schema.find('/') - k_schema.size());
  for (const OwnFile& file : k_known) {
    if (file.schema != kind) continue;
    return input_error({name, 0, 0}, fmt::format("this is {} ({}), not a log", file.what, schema),
                       {}, fmt::format(fmt::runtime(file.remedy), shell_quoted(name)));
  }
  return input_error({name, 0, 0},
                     fmt::format("this is no log, but what coolband wrote ({})", schema), {},
                     "give the log that it was made from");
}

} // namespace coolband
