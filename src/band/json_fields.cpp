// SPDX-License-Identifier: Apache-2.0
// Typed fields out of a configuration file, with an error that names the field.
#include "band/json_fields.hpp"

#include "core/json_place.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Error at_offset(const std::string& text, const std::string& name, std::size_t offset,
                const std::string& message,
                const std::string& remedy = "mend the file, or make it anew") {
  const std::size_t at = std::min(offset, text.size());
  const std::size_t from = at == 0 ? 0 : text.rfind('\n', at - 1) + 1;
  const auto line = static_cast<std::size_t>(
      std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
  return {ErrorKind::usage,
          {name, line + 1, at - from + 1},
          message,
          text.substr(from, text.find('\n', from) - from),
          remedy};
}

/// Behind the text that opens at `at`, in quotes.
std::size_t behind_text(std::string_view json, std::size_t at) {
  for (++at; at < json.size() && json[at] != '"'; ++at)
    if (json[at] == '\\') ++at;
  return at + 1;
}

/// The first place outside of texts at which `is_it` holds; the end where there is none.
template <class Test>
std::size_t first_outside_texts(std::string_view json, Test is_it) {
  for (std::size_t at = 0; at < json.size();) {
    if (json[at] == '"') {
      at = behind_text(json, at);
      continue;
    }
    if (is_it(at)) return at;
    ++at;
  }
  return json.size();
}

/// The first bracket that is nested too deep; the end where there is none.
std::size_t too_deep_at(std::string_view json) {
  std::size_t depth = 0;
  return first_outside_texts(json, [&](std::size_t at) {
    const char c = json[at];
    if (c == '[' || c == '{') return ++depth > k_deepest_json;
    if ((c == ']' || c == '}') && depth > 0) --depth;
    return false;
  });
}

/// The first number that no double can hold; the end where there is none.
std::size_t too_large_at(std::string_view json) {
  constexpr std::string_view k_number = "+-.0123456789eE";
  std::size_t looked_at = 0;
  return first_outside_texts(json, [&](std::size_t at) {
    const bool number = json[at] == '-' || (json[at] >= '0' && json[at] <= '9');
    if (!number || at < looked_at) return false;
    looked_at = std::min(json.find_first_not_of(k_number, at), json.size());
    return Json::parse(json.substr(at, looked_at - at), nullptr, false).is_discarded();
  });
}

/// Where a file of the wanted kind comes from.
const char* origin_of(std::string_view kind) {
  if (kind == "coolband.band") return "a band is what 'coolband learn' writes";
  if (kind == "coolband.vehicle") return "a profile is written by hand, as docs/formats.md shows";
  if (kind == "coolband.scenario") return "a scenario is written by hand, as docs/formats.md shows";
  return "give the right kind of file";
}

/// Without its version.
std::string_view kind_of(std::string_view schema) { return schema.substr(0, schema.rfind('/')); }

Error wrong_schema(const std::string& name, const std::string& found, std::string_view wanted) {
  const std::string_view kind = kind_of(wanted);
  if (found.rfind(std::string(kind) + "/", 0) == 0) {
    return {ErrorKind::usage,
            {name},
            fmt::format("written for \"{}\", which this version does not know (it reads \"{}\")",
                        found, wanted),
            "",
            "use a newer coolband, or make the file anew"};
  }
  const std::string what =
      found.empty() ? "has no \"schema\"," : fmt::format("\"schema\" is \"{}\",", found);
  return {ErrorKind::usage,
          {name},
          fmt::format("{} but \"{}\" is needed here", what, wanted),
          "",
          origin_of(kind)};
}

} // namespace

Result<Json> parse_json(const std::string& text, const std::string& name) {
  if (const std::size_t at = too_deep_at(text); at < text.size()) {
    return at_offset(text, name, at,
                     fmt::format("nested here deeper than {} levels", k_deepest_json));
  }
  // The parser takes a zero byte for the end of the document.
  if (const std::size_t at = text.find('\0'); at < text.size())
    return at_offset(text, name, at, "not valid JSON here");
  try {
    Json json = Json::parse(text);
    // The parser takes the last of two.
    if (const auto repeated = repeated_key(text)) {
      return at_offset(text, name, repeated->offset,
                       fmt::format("\"{}\" stands here a second time", repeated->key),
                       "keep one of the two");
    }
    return json;
  } catch (const Json::parse_error& error) {
    return at_offset(text, name, error.byte > 0 ? error.byte - 1 : 0, "not valid JSON here");
  } catch (const Json::exception&) {
    return at_offset(text, name, too_large_at(text), "holds a number that is too large");
  }
}

Result<Json> parse_object(const std::string& text, const std::string& name, std::string_view what) {
  if (text.find_first_not_of(" \t\r\n") == std::string::npos) {
    return Error{
        ErrorKind::usage, {name, 1, 1}, "this file is empty", "", fmt::format("give {}", what)};
  }
  auto json = parse_json(text, name);
  if (!json || json->is_object()) return json;
  return Error{ErrorKind::usage,
               {name, 1, 1},
               fmt::format("not {}", what),
               "",
               "give the right kind of file"};
}

Result<Json> parse_schema(const std::string& text, const std::string& name,
                          std::string_view schema) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  const bool empty = first == std::string::npos;
  auto json = parse_object(
      text, name, fmt::format("{} of schema \"{}\"", empty ? "a file" : "a JSON object", schema));
  if (!json) {
    Error error = json.error();
    if (!empty && text[first] != '{') error.remedy = origin_of(kind_of(schema));
    return error;
  }
  const auto found = json->find("schema");
  const std::string text_found =
      found != json->end() && found->is_string() ? found->get<std::string>() : "";
  if (text_found != schema) return wrong_schema(name, text_found, schema);
  return json;
}

std::optional<double> FieldReader::number(const Json& object, const std::string& key,
                                          Range allowed) {
  const auto found = object.find(key);
  if (found == object.end() || found->is_null()) return std::nullopt;
  if (!found->is_number()) {
    complain(key, "must be a number");
    return std::nullopt;
  }
  const double value = found->get<double>();
  if (!(value >= allowed.low && value <= allowed.high)) {
    complain(key, fmt::format("is {}, outside {} to {}", value, allowed.low, allowed.high));
    return std::nullopt;
  }
  return value;
}

std::optional<std::string> FieldReader::text(const Json& object, const std::string& key) {
  const auto found = object.find(key);
  if (found == object.end() || found->is_null()) return std::nullopt;
  if (!found->is_string()) {
    complain(key, "must be a text");
    return std::nullopt;
  }
  return found->get<std::string>();
}

std::optional<Range> FieldReader::range(const Json& object, const std::string& key) {
  const auto found = object.find(key);
  if (found == object.end() || found->is_null()) return std::nullopt;
  const bool good =
      found->is_array() && found->size() == 2 && (*found)[0].is_number() && (*found)[1].is_number();
  if (!good) {
    complain(key, "must be [low, high]");
    return std::nullopt;
  }
  const Range range{(*found)[0].get<double>(), (*found)[1].get<double>()};
  if (range.low > range.high) {
    complain(key, "must be [low, high]");
    return std::nullopt;
  }
  return range;
}

double FieldReader::required_number(const Json& object, const std::string& key, Range allowed) {
  const auto value = number(object, key, allowed);
  if (!value) complain(key, "is missing");
  return value.value_or(std::nan(""));
}

std::string FieldReader::required_text(const Json& object, const std::string& key) {
  const auto value = text(object, key);
  if (!value) complain(key, "is missing");
  return value.value_or("");
}

std::size_t FieldReader::count(const Json& object, const std::string& key) {
  return object.contains(key) && !object[key].is_null() ? required_count(object, key) : 0;
}

std::size_t FieldReader::required_count(const Json& object, const std::string& key, Range allowed) {
  const double value = required_number(object, key, allowed);
  if (std::isnan(value)) return 0;
  if (value != std::floor(value)) complain(key, fmt::format("is {}, not a whole number", value));
  return static_cast<std::size_t>(value);
}

void FieldReader::complain(const std::string& key, const std::string& what) {
  if (complaint_) return;
  complaint_ =
      Error{ErrorKind::usage, {file_}, fmt::format("\"{}\" {}", key, what), "", "mend the field"};
}

} // namespace coolband
