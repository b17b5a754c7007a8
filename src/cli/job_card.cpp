// SPDX-License-Identifier: Apache-2.0
// The fields of a job card.
#include "cli/job_card.hpp"

#include "band/history.hpp"
#include "band/json_fields.hpp"
#include "cli/json_group.hpp"
#include "core/json_place.hpp"
#include "core/text_file.hpp"
#include "report/job_words.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <optional>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband::cli {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t k_longest_key = 40;
constexpr double k_farthest_km = 1e7;
/// In a file: those that are null are no fields, and may be many.
constexpr std::size_t k_most_members = 1000;
constexpr const char* k_what = "a job card: a JSON object of texts and numbers";

/// What is wrong, and what to do about it.
struct Problem {
  std::string what;
  std::string remedy;
};

bool is_key(std::string_view text) {
  const auto fits = [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-';
  };
  return !text.empty() && text.size() <= k_longest_key &&
         std::isalpha(static_cast<unsigned char>(text.front())) != 0 &&
         std::all_of(text.begin(), text.end(), fits);
}

/// A day, or a time that begins with one.
bool is_date(std::string_view text) {
  constexpr std::size_t k_day = 10; // characters of YYYY-MM-DD
  return day_of(text) && (text.size() == k_day || text[k_day] == 'T' || text[k_day] == ' ');
}

double number_in(const JobField& field) {
  if (const auto* whole = std::get_if<std::int64_t>(&field.value))
    return static_cast<double>(*whole);
  return std::get<double>(field.value);
}

std::optional<Problem> text_problem(const JobField& field, const std::string& text) {
  if (field.key == "odometer_km")
    return Problem{"must be a number of km", "write odometer_km=142000"};
  if (text.find_first_not_of(" \t\r\n") == std::string::npos)
    return Problem{"is empty", "give it a value, or leave it out"};
  if (text.size() > k_longest_job_text) {
    return Problem{fmt::format("has {} bytes, more than {}", text.size(), k_longest_job_text),
                   "shorten it"};
  }
  if (field.key == "date" && !is_date(text))
    return Problem{fmt::format("is '{}', which is no date", text), "write it as 2031-05-12"};
  return std::nullopt;
}

std::optional<Problem> problem_of(const JobField& field) {
  if (!is_key(field.key)) {
    return Problem{
        "is no name of a field",
        fmt::format("use up to {} letters, digits, '_' and '-', a letter first", k_longest_key)};
  }
  if (const auto* text = std::get_if<std::string>(&field.value)) return text_problem(field, *text);
  if (field.key == "date") return Problem{"must be a text", "write it as \"2031-05-12\""};
  const bool is_odometer = field.key == "odometer_km";
  if (is_odometer && !(number_in(field) >= 0.0 && number_in(field) <= k_farthest_km))
    return Problem{fmt::format("is {}, outside 0 to {}", number_in(field), k_farthest_km),
                   "mend the field"};
  return std::nullopt;
}

/// A whole number stays one.
std::optional<std::variant<std::string, std::int64_t, double>> number_of(const std::string& text) {
  const char* const end = text.data() + text.size();
  std::int64_t whole = 0;
  if (const auto read = std::from_chars(text.data(), end, whole);
      read.ec == std::errc() && read.ptr == end)
    return whole;
  double value = 0.0;
  const auto read = std::from_chars(text.data(), end, value, std::chars_format::fixed);
  if (read.ec == std::errc() && read.ptr == end) return value;
  return std::nullopt;
}

JobField field_of(const std::string& key, const std::string& text) {
  if (key == "odometer_km") {
    if (const auto number = number_of(text)) return {key, *number};
  }
  return {key, text};
}

std::optional<JobField> field_of(const std::string& key, const Json& value) {
  if (value.is_string()) return JobField{key, value.get<std::string>()};
  if (value.is_number_unsigned() && value.get<std::uint64_t>() > INT64_MAX)
    return JobField{key, value.get<double>()};
  if (value.is_number_integer()) return JobField{key, value.get<std::int64_t>()};
  if (value.is_number()) return JobField{key, value.get<double>()};
  return std::nullopt;
}

void read_fields(const Json& json, JsonComplaints& complaints, JobCard& card) {
  for (const auto& [key, value] : json.items()) {
    if (value.is_null()) continue;
    const auto field = field_of(key, value);
    const auto problem =
        field ? problem_of(*field) : std::optional(Problem{"must be a text or a number", ""});
    if (problem) {
      // A name that is none may look like a path. The place is looked for once: it takes a walk.
      const std::size_t at = is_key(key) ? offset_of(complaints.text(), key) : 0;
      return complaints.at(at, fmt::format("\"{}\" {}", key, problem->what), problem->remedy);
    }
    card.push_back(*field);
  }
}

Result<JobCard> card_in(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.error();
  // Counted before it is parsed, which takes the square of the members' number.
  if (const std::size_t count = member_count(*text); count > k_most_members) {
    return Error{ErrorKind::usage,
                 {path},
                 fmt::format("{} fields, more than {}", count, k_most_job_fields),
                 "",
                 "leave some out"};
  }
  const auto json = parse_object(*text, path, k_what);
  if (!json) return json.error();
  JsonComplaints complaints(path, *text);
  JobCard card;
  read_fields(*json, complaints, card);
  if (complaints.first()) return *complaints.first();
  return card;
}

Error wrong_option(const std::string& what, const std::string& remedy) {
  return {ErrorKind::usage, {}, "--job: " + what, "", remedy};
}

bool is_file(const std::string& given) {
  const std::size_t equals = given.find('=');
  return equals == std::string::npos || given.find('/') < equals;
}

/// Puts the field in place of one of the same key, or behind the others.
void put(JobCard& card, const JobField& field) {
  const auto same =
      std::find_if(card.begin(), card.end(), [&](const JobField& f) { return f.key == field.key; });
  if (same == card.end())
    card.push_back(field);
  else
    *same = field;
}

Result<JobCard> pairs_of(const std::vector<std::string>& given) {
  JobCard pairs;
  for (const std::string& text : given) {
    if (is_file(text)) continue;
    const std::size_t equals = text.find('=');
    const JobField field = field_of(text.substr(0, equals), text.substr(equals + 1));
    if (const auto problem = problem_of(field))
      return wrong_option(fmt::format("'{}' {}", field.key, problem->what), problem->remedy);
    const auto same = [&](const JobField& other) { return other.key == field.key; };
    if (std::any_of(pairs.begin(), pairs.end(), same))
      return wrong_option(fmt::format("'{}' is given twice", field.key), "keep one of the two");
    pairs.push_back(field);
  }
  return pairs;
}

} // namespace

void add_job_card_option(CLI::App& command, std::vector<std::string>& given) {
  command
      .add_option("--job", given,
                  "fields of the job card for the report: a JSON file, or e.g. number=A-12, "
                  "complaint=\"runs cold\", odometer_km=142000, date=2031-05-12 (repeatable)")
      ->type_name("FILE|KEY=VALUE")
      ->allow_extra_args(false);
}

std::string for_job(const std::string& text, const JobCard& job) {
  const auto number =
      std::find_if(job.begin(), job.end(), [](const JobField& f) { return f.key == "number"; });
  if (number == job.end()) return text;
  return fmt::format("{} (job {})", text, job_text(*number));
}

std::vector<std::string> job_files(const std::vector<std::string>& given) {
  std::vector<std::string> files;
  std::copy_if(given.begin(), given.end(), std::back_inserter(files), is_file);
  return files;
}

Result<JobCard> job_card(const std::vector<std::string>& given) {
  JobCard card;
  for (const std::string& path : job_files(given)) {
    const auto fields = card_in(path);
    if (!fields) return fields.error();
    for (const JobField& field : *fields) put(card, field);
  }
  const auto pairs = pairs_of(given);
  if (!pairs) return pairs.error();
  for (const JobField& field : *pairs) put(card, field);
  if (card.size() <= k_most_job_fields) return card;
  return wrong_option(fmt::format("{} fields, more than {}", card.size(), k_most_job_fields),
                      "leave some out");
}

} // namespace coolband::cli
