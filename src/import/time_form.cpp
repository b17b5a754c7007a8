// SPDX-License-Identifier: Apache-2.0
// A form is split into its letters and marks; the marks tell a clock from a date.
#include "import/time_form.hpp"

#include "import/number_text.hpp"
#include "import/text_fields.hpp"

#include <algorithm>
#include <array>

namespace coolband {

namespace {

enum class Field { none, day, month, year, hour, minute, second };

struct Spelling {
  std::string_view text;
  Field field;
};

// English, German (TT.MM.JJJJ), French (jj/mm/aaaa), Spanish and Portuguese (dd/mm/aaaa), Italian
// (gg/mm/aaaa), Dutch (dd-mm-jjjj), Swedish (åååå-mm-dd), Polish (dd.mm.rrrr); from memory.
constexpr auto k_date_fields =
    std::to_array<Spelling>({{"d", Field::day},
                             {"dd", Field::day},
                             {"t", Field::day},
                             {"tt", Field::day},
                             {"j", Field::day},
                             {"jj", Field::day},
                             {"g", Field::day},
                             {"gg", Field::day},
                             {"m", Field::month},
                             {"mm", Field::month},
                             {"mmm", Field::month},
                             {"mmmm", Field::month},
                             {"mon", Field::month},
                             {"y", Field::year},
                             {"yy", Field::year},
                             {"yyyy", Field::year},
                             {"jjjj", Field::year},
                             {"aa", Field::year},
                             {"aaaa", Field::year},
                             {"rr", Field::year},
                             {"rrrr", Field::year},
                             {"\xC3\xA5\xC3\xA5\xC3\xA5\xC3\xA5", Field::year},
                             {"\xC3\x85\xC3\x85\xC3\x85\xC3\x85", Field::year}});

constexpr auto k_clock_fields = std::to_array<Spelling>({{"h", Field::hour},
                                                         {"hh", Field::hour},
                                                         {"hr", Field::hour},
                                                         {"std", Field::hour},
                                                         {"m", Field::minute},
                                                         {"mm", Field::minute},
                                                         {"mi", Field::minute},
                                                         {"min", Field::minute},
                                                         {"s", Field::second},
                                                         {"ss", Field::second},
                                                         {"sec", Field::second},
                                                         {"sek", Field::second}});

template <class Table>
Field take_field(std::string_view& text, const Table& table) {
  std::size_t size = 0;
  while (size < text.size() &&
         (is_ascii_letter(text[size]) || static_cast<unsigned char>(text[size]) >= 0x80))
    ++size;
  const std::string_view word = text.substr(0, size);
  for (const Spelling& spelling : table) {
    if (!same_text(word, spelling.text)) continue;
    text.remove_prefix(size);
    return spelling.field;
  }
  return Field::none;
}

std::optional<DateOrder> order_of(const std::array<Field, 3>& fields) {
  constexpr std::array<Field, 3> dmy{Field::day, Field::month, Field::year};
  constexpr std::array<Field, 3> mdy{Field::month, Field::day, Field::year};
  constexpr std::array<Field, 3> ymd{Field::year, Field::month, Field::day};
  if (fields == dmy) return DateOrder::dmy;
  if (fields == mdy) return DateOrder::mdy;
  if (fields == ymd) return DateOrder::ymd;
  return std::nullopt;
}

/// "dd/mm/yyyy". In Dutch a year is jjjj, so day and year are told by their number of letters.
bool take_date_form(std::string_view& text, TimeForm& form) {
  std::string_view rest = text;
  std::array<Field, 3> fields{};
  char mark = 0;
  for (std::size_t i = 0; i < fields.size(); ++i) {
    fields[i] = take_field(rest, k_date_fields);
    if (i == 2) break;
    if (rest.empty() || (mark != 0 && rest[0] != mark)) return false;
    mark = rest[0];
    if (mark != '/' && mark != '-' && mark != '.') return false;
    rest.remove_prefix(1);
  }
  const auto order = order_of(fields);
  if (!order) return false;
  form.order = *order;
  text = rest;
  return true;
}

/// What may stand behind the seconds: ".fff", ",sss", ".ms", ".000", ".0", "am/pm", "z".
bool is_clock_tail(std::string_view text) {
  if (text.empty()) return true;
  if (text[0] == '.' || text[0] == ',' || text[0] == ':') {
    text.remove_prefix(1);
    return !text.empty() && text.find_first_not_of("fFsSmMxXzZ0#") == std::string_view::npos;
  }
  skip_blanks(text);
  return same_text(text, "am/pm") || same_text(text, "a") || same_text(text, "tt") ||
         same_text(text, "am") || same_text(text, "z");
}

/// "hh:mm", "hh:mm:ss", "mm:ss", each perhaps with a tail.
bool take_clock_form(std::string_view text, TimeForm& form) {
  const Field first = take_field(text, k_clock_fields);
  if (!take_char(text, ':')) return false;
  const Field second = take_field(text, k_clock_fields);
  if (first == Field::minute && second == Field::second) {
    form.parts = TimeForm::Parts::minutes;
    return is_clock_tail(text);
  }
  if (first != Field::hour || second != Field::minute) return false;
  form.parts = TimeForm::Parts::hours;
  std::string_view rest = text;
  if (take_char(rest, ':') && take_field(rest, k_clock_fields) == Field::second)
    return is_clock_tail(rest);
  return is_clock_tail(text);
}

/// "hhmmss", perhaps with a fraction.
bool take_digits_form(std::string_view text) {
  constexpr std::string_view k_form = "hhmmss";
  if (!same_text(text.substr(0, k_form.size()), k_form)) return false;
  text.remove_prefix(k_form.size());
  return text.empty() || ((text[0] == '.' || text[0] == ',') && is_clock_tail(text));
}

struct Cut {
  std::string_view before;
  std::string_view form;
};

/// The heading and the form at its end: in brackets, or behind a blank or an underscore.
std::optional<Cut> cut_of(std::string_view heading) {
  const std::string_view text = trimmed(heading);
  if (text.empty()) return std::nullopt;
  const char close = text.back();
  const char open = close == ')' ? '(' : close == ']' ? '[' : close == '}' ? '{' : '\0';
  if (open != 0) {
    const std::size_t at = text.rfind(open);
    if (at == std::string_view::npos) return std::nullopt;
    const std::string_view inside = text.substr(at + 1, text.size() - at - 2);
    if (read_time_form(inside)) return Cut{trimmed(text.substr(0, at)), inside};
    return std::nullopt;
  }
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (at > 0 && text[at - 1] != ' ' && text[at - 1] != '_') continue;
    const std::string_view tail = text.substr(at);
    const bool marked = tail.find_first_of(":/.-") != std::string_view::npos;
    if (marked && read_time_form(tail))
      return Cut{trimmed(text.substr(0, at > 0 ? at - 1 : 0)), tail};
  }
  return std::nullopt;
}

} // namespace

std::optional<TimeForm> read_time_form(std::string_view text) {
  text = trimmed(text);
  TimeForm form;
  if (same_text(text, "days")) {
    form.days = true;
    return form;
  }
  if (take_digits_form(text)) {
    form.digits = true;
    return form;
  }
  for (const auto& [word, order] : {std::pair<std::string_view, DateOrder>{"dmy", DateOrder::dmy},
                                    {"mdy", DateOrder::mdy},
                                    {"ymd", DateOrder::ymd}}) {
    if (!same_text(text, word)) continue;
    form.order = order;
    return form;
  }
  if (!take_date_form(text, form)) {
    if (take_clock_form(text, form)) return form;
    return std::nullopt;
  }
  if (text.empty()) return form;
  if (text[0] != ' ' && text[0] != 'T' && text[0] != '_') return std::nullopt;
  text.remove_prefix(1);
  skip_blanks(text);
  if (!take_clock_form(text, form)) return std::nullopt;
  return form;
}

std::optional<TimeForm> time_form_of(std::string_view heading) {
  const auto cut = cut_of(heading);
  if (!cut) return std::nullopt;
  return read_time_form(cut->form);
}

std::string without_time_form(std::string_view heading) {
  const auto cut = cut_of(heading);
  return std::string(cut && !cut->before.empty() ? cut->before : heading);
}

} // namespace coolband
