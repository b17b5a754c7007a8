// SPDX-License-Identifier: Apache-2.0
// The outline of the first value tells records from a wrapper around them.
#include "import/json_shape.hpp"

#include "import/heading.hpp"
#include "import/input_error.hpp"
#include "import/json_borders.hpp"
#include "import/json_outline.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

using Kind = JsonShape::Kind;

constexpr std::size_t k_first_look = std::size_t{64} * 1024;
constexpr std::size_t k_names_quoted = 8;

std::string_view without_blanks(std::string_view text) {
  const std::size_t at = text.find_first_not_of(" \t\r\n");
  return at == std::string_view::npos ? std::string_view() : text.substr(at);
}

std::string_view rest_of_line(std::string_view text, std::size_t at) {
  return without_blanks(text.substr(at, std::min(text.find('\n', at), text.size()) - at));
}

bool is_list(const JsonArray& array) {
  return array.kind == JsonArray::Kind::strings || array.kind == JsonArray::Kind::scalars ||
         array.kind == JsonArray::Kind::empty;
}

bool tells_time(const std::vector<std::string>& headings) {
  return std::any_of(headings.begin(), headings.end(), [](const std::string& heading) {
    const auto reading = read_heading(heading, vocabulary());
    return reading &&
           (reading->sense.meaning == Meaning::date ||
            (reading->sense.meaning == Meaning::role && reading->sense.role == Role::time));
  });
}

/// The array that names the cells of `rows`: as many names as a row has cells.
const JsonArray* headings_for(const JsonArray& rows, const std::vector<JsonArray>& arrays) {
  if (rows.kind != JsonArray::Kind::rows || rows.width == 0) return nullptr;
  for (const JsonArray& array : arrays) {
    if (&array == &rows || array.names.size() != rows.width || array.elements != rows.width)
      continue;
    if (std::none_of(array.names.begin(), array.names.end(), [](auto& n) { return n.empty(); }))
      return &array;
  }
  return nullptr;
}

/// The first array whose records have a time, else the first array of records.
const JsonArray* choose_records(const std::vector<JsonArray>& arrays) {
  const JsonArray* chosen = nullptr;
  bool timed = false;
  for (const JsonArray& array : arrays) {
    if (is_list(array)) continue;
    const JsonArray* const names = headings_for(array, arrays);
    const bool has_time = tells_time(names != nullptr ? names->names : array.first);
    if (chosen != nullptr && (timed || !has_time)) continue;
    chosen = &array;
    timed = has_time;
  }
  return chosen;
}

std::string wrapper_note(const JsonOutline& outline, const std::string& chosen,
                         const std::string& headings) {
  std::string list;
  std::size_t count = 0;
  for (const std::string& name : outline.beside) {
    if (name == chosen || name == headings || ++count > k_names_quoted) continue;
    list += fmt::format("{}\"{}\"", list.empty() ? "" : ", ", name);
  }
  if (count > k_names_quoted) list += fmt::format(" and {} more", count - k_names_quoted);
  if (count == 0) return fmt::format("the records are those of \"{}\"", chosen);
  return fmt::format("the records are those of \"{}\"; beside them is not used: {}", chosen, list);
}

JsonShape wrapped_shape(const JsonOutline& outline, const JsonArray& records) {
  JsonShape shape;
  shape.kind = Kind::sequence;
  shape.rows = records.kind == JsonArray::Kind::rows;
  shape.in_array = true;
  shape.wrapped = true;
  shape.rest_known = outline.end != 0;
  shape.begin = records.begin;
  const JsonArray* const names = headings_for(records, outline.arrays);
  if (names != nullptr) {
    shape.headings = names->names;
    shape.units = names->units;
  }
  shape.notes.push_back(wrapper_note(outline, json_path(records.path),
                                     names == nullptr ? std::string() : json_path(names->path)));
  return shape;
}

/// Objects without anything around them: a line each, unless they are laid out otherwise.
JsonShape bare_shape(std::string_view text, const JsonOutline& outline) {
  JsonShape shape;
  const std::size_t start = text.find('{');
  const std::size_t line_end = std::min(text.find('\n', start), text.size());
  bool lines = true;
  if (outline.end != 0) {
    lines = outline.end <= line_end && rest_of_line(text, outline.end).empty();
  } else if (line_end < text.size()) {
    // A damaged first line is followed by another record, the inside of an object is not.
    const std::string_view line = text.substr(start, line_end - start);
    lines = without_blanks(text.substr(line_end)).starts_with('{') ||
            find_record_end(line).state == RecordEnd::State::whole;
  }
  shape.kind = lines ? Kind::lines : Kind::sequence;
  return shape;
}

struct Look {
  JsonShape shape;
  std::size_t bytes_wanted = 0; ///< more than there were would tell more
};

Look look_at_object(std::string_view text, bool complete) {
  const JsonOutline outline = outline_json(text);
  const bool unfinished = outline.end == 0 && outline.valid && !complete;
  const std::string_view rest =
      outline.end == 0 ? std::string_view() : without_blanks(text.substr(outline.end));
  Look look;
  if (!rest.empty()) {
    look.shape = bare_shape(text, outline);
    return look;
  }
  if (const JsonArray* const records = choose_records(outline.arrays)) {
    look.shape = wrapped_shape(outline, *records);
    // Keys have no order: the headings of rows may stand behind them.
    const bool unnamed = look.shape.rows && look.shape.headings.empty();
    if (unfinished && unnamed && !tells_time(records->first))
      look.bytes_wanted = std::string_view::npos;
    return look;
  }
  const bool columns =
      outline.arrays.size() > 1 || (outline.arrays.size() == 1 && outline.beside.size() == 1);
  look.shape = bare_shape(text, outline);
  if (columns) look.shape.kind = Kind::columns;
  if (unfinished) look.bytes_wanted = columns ? 0 : k_record_limit;
  return look;
}

Look look_at_array(std::string_view text) {
  const JsonOutline outline = outline_json(text);
  Look look;
  if (outline.arrays.empty()) return look;
  const JsonArray& array = outline.arrays[0];
  look.shape.begin = array.begin;
  look.shape.rows = array.kind == JsonArray::Kind::rows;
  look.shape.in_array = true;
  look.shape.kind = Kind::sequence;
  if (array.kind == JsonArray::Kind::strings || array.kind == JsonArray::Kind::scalars) {
    look.shape = {};
    look.shape.rows = true;
  }
  return look;
}

/// Records behind separators, as RFC 7464 has them.
Look look_at_text_sequence(std::string_view text) {
  Look look;
  look.shape.kind = Kind::sequence;
  look.shape.rows = without_blanks(text.substr(text.find('\x1E') + 1)).starts_with('[');
  return look;
}

Look look_at(std::string_view text, bool complete) {
  const std::string_view start = without_blanks(text);
  if (start.starts_with('\x1E')) return look_at_text_sequence(text);
  return start.starts_with('[') ? look_at_array(text) : look_at_object(text, complete);
}

} // namespace

std::string JsonShape::format() const {
  if (kind == Kind::columns) return "json columns";
  if (rows) return "json rows";
  return kind == Kind::lines ? "json lines" : "json array";
}

bool looks_like_json(std::string_view text) {
  const std::string_view start = without_blanks(text);
  if (start.starts_with('{') || start.starts_with('\x1E')) return true;
  if (!start.starts_with('[')) return false;
  const JsonOutline outline = outline_json(start);
  if (outline.arrays.empty()) return false;
  const JsonArray& array = outline.arrays[0];
  if (!is_list(array)) return true;
  if (outline.end == 0) return array.kind == JsonArray::Kind::empty && outline.valid;
  return rest_of_line(start, outline.end).empty();
}

Result<JsonShape> find_json_shape(InputBuffer& input, const std::string& name) {
  Look look = look_at(input.unread().substr(0, k_first_look),
                      input.ended() && input.unread().size() <= k_first_look);
  if (look.bytes_wanted > 0) {
    while (input.unread().size() < look.bytes_wanted && input.more()) {
    }
    if (input.error()) return *input.error();
    look = look_at(input.unread(), input.ended());
  }
  if (look.shape.kind == Kind::lines && look.shape.rows) {
    const std::string_view text = without_blanks(input.unread());
    const std::size_t end = std::min(text.find('\n'), text.size());
    if (find_record_end(text.substr(0, end)).state != RecordEnd::State::whole) {
      return input_error({name, 1, 0}, "this JSON is a list of single values, not of records", {},
                         "coolband reads JSON as records: objects, or arrays of cells");
    }
  }
  return std::move(look.shape);
}

} // namespace coolband
