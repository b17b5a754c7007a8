// SPDX-License-Identifier: Apache-2.0
// Typed fields out of a configuration file, with an error that names the field.
#include "band/json_fields.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Error at_byte(const std::string& text, const std::string& name, std::size_t byte) {
  const std::size_t at = std::min(byte > 0 ? byte - 1 : 0, text.size());
  const std::size_t from = at == 0 ? 0 : text.rfind('\n', at - 1) + 1;
  const auto line = static_cast<std::size_t>(
      std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
  return {ErrorKind::usage,
          {name, line + 1, at - from + 1},
          "not valid JSON here",
          text.substr(from, text.find('\n', from) - from),
          "mend the file, or make it anew"};
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

Result<Json> parse_object(const std::string& text, const std::string& name, std::string_view what) {
  if (text.find_first_not_of(" \t\r\n") == std::string::npos) {
    return Error{
        ErrorKind::usage, {name, 1, 1}, "this file is empty", "", fmt::format("give {}", what)};
  }
  Json json;
  try {
    json = Json::parse(text);
  } catch (const Json::parse_error& error) {
    return at_byte(text, name, error.byte);
  } catch (const Json::exception&) { // a number that no double can hold
    return Error{ErrorKind::usage,
                 {name},
                 "holds a number that is too large",
                 "",
                 "mend the file, or make it anew"};
  }
  if (json.is_object()) return json;
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

void FieldReader::complain(const std::string& key, const std::string& what) {
  if (complaint_) return;
  complaint_ =
      Error{ErrorKind::usage, {file_}, fmt::format("\"{}\" {}", key, what), "", "mend the field"};
}

} // namespace coolband
