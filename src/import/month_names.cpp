// SPDX-License-Identifier: Apache-2.0
// One sorted list of all names without accents; a name is folded in place and looked up.
#include "import/month_names.hpp"

#include "import/text_fields.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace coolband {

namespace {

struct MonthName {
  std::string_view name;
  int month;
};

constexpr auto k_names = std::to_array<MonthName>(
    {{"abr", 4},           {"abril", 4},      {"ago", 8},       {"agosto", 8},
     {"aout", 8},          {"apr", 4},        {"april", 4},     {"aprile", 4},
     {"aug", 8},           {"august", 8},     {"augusti", 8},   {"augustus", 8},
     {"avr", 4},           {"avril", 4},      {"cze", 6},       {"czerwca", 6},
     {"czerwiec", 6},      {"dec", 12},       {"december", 12}, {"decembre", 12},
     {"dez", 12},          {"dezember", 12},  {"dezembro", 12}, {"dic", 12},
     {"dicembre", 12},     {"diciembre", 12}, {"ene", 1},       {"enero", 1},
     {"feb", 2},           {"febbraio", 2},   {"febrero", 2},   {"februar", 2},
     {"februari", 2},      {"february", 2},   {"fev", 2},       {"fevereiro", 2},
     {"fevr", 2},          {"fevrier", 2},    {"gen", 1},       {"gennaio", 1},
     {"giu", 6},           {"giugno", 6},     {"gru", 12},      {"grudnia", 12},
     {"grudzien", 12},     {"jaen", 1},       {"jaenner", 1},   {"jan", 1},
     {"janeiro", 1},       {"janner", 1},     {"januar", 1},    {"januari", 1},
     {"january", 1},       {"janv", 1},       {"janvier", 1},   {"juil", 7},
     {"juillet", 7},       {"juin", 6},       {"jul", 7},       {"julho", 7},
     {"juli", 7},          {"julio", 7},      {"july", 7},      {"jun", 6},
     {"june", 6},          {"junho", 6},      {"juni", 6},      {"junio", 6},
     {"kwi", 4},           {"kwiecien", 4},   {"kwietnia", 4},  {"lip", 7},
     {"lipca", 7},         {"lipiec", 7},     {"lis", 11},      {"listopad", 11},
     {"listopada", 11},    {"lug", 7},        {"luglio", 7},    {"lut", 2},
     {"lutego", 2},        {"luty", 2},       {"maart", 3},     {"maerz", 3},
     {"mag", 5},           {"maggio", 5},     {"mai", 5},       {"maio", 5},
     {"maj", 5},           {"maja", 5},       {"mar", 3},       {"marca", 3},
     {"march", 3},         {"marco", 3},      {"mars", 3},      {"marz", 3},
     {"marzec", 3},        {"marzo", 3},      {"may", 5},       {"mayo", 5},
     {"mei", 5},           {"mrt", 3},        {"mrz", 3},       {"nov", 11},
     {"november", 11},     {"novembre", 11},  {"novembro", 11}, {"noviembre", 11},
     {"oct", 10},          {"october", 10},   {"octobre", 10},  {"octubre", 10},
     {"okt", 10},          {"oktober", 10},   {"ott", 10},      {"ottobre", 10},
     {"out", 10},          {"outubro", 10},   {"paz", 10},      {"pazdziernik", 10},
     {"pazdziernika", 10}, {"sep", 9},        {"sept", 9},      {"september", 9},
     {"septembre", 9},     {"septiembre", 9}, {"set", 9},       {"setembro", 9},
     {"setiembre", 9},     {"settembre", 9},  {"sie", 8},       {"sierpien", 8},
     {"sierpnia", 8},      {"sty", 1},        {"styczen", 1},   {"stycznia", 1},
     {"wrz", 9},           {"wrzesien", 9},   {"wrzesnia", 9}});
static_assert(std::is_sorted(k_names.begin(), k_names.end(),
                             [](const auto& a, const auto& b) { return a.name < b.name; }));
constexpr std::size_t k_longest = 12;

/// The letters with accents that these names have, in UTF-8 and then in Latin-1.
constexpr auto k_accents = std::to_array<std::pair<std::string_view, char>>({
    {"\xC3\xA4", 'a'}, {"\xC3\x84", 'a'}, {"\xC3\xA9", 'e'}, {"\xC3\x89", 'e'}, {"\xC3\xBB", 'u'},
    {"\xC3\x9B", 'u'}, {"\xC3\xA7", 'c'}, {"\xC3\x87", 'c'}, {"\xC5\x84", 'n'}, {"\xC5\x83", 'n'},
    {"\xC5\x9B", 's'}, {"\xC5\x9A", 's'}, {"\xC5\xBA", 'z'}, {"\xC5\xB9", 'z'}, {"\xE4", 'a'},
    {"\xC4", 'a'},     {"\xE9", 'e'},     {"\xC9", 'e'},     {"\xFB", 'u'},     {"\xDB", 'u'},
    {"\xE7", 'c'},     {"\xC7", 'c'},
});

/// The letter at the start of `text` as a small one without accent, taken off; 0 for anything else.
char take_letter(std::string_view& text) {
  if (!text.empty() && is_ascii_letter(text[0])) {
    const char letter = ascii_lower(text[0]);
    text.remove_prefix(1);
    return letter;
  }
  for (const auto& [bytes, letter] : k_accents) {
    if (!text.starts_with(bytes)) continue;
    text.remove_prefix(bytes.size());
    return letter;
  }
  return 0;
}

} // namespace

int take_month_name(std::string_view& text) {
  std::array<char, k_longest + 1> letters{};
  std::size_t size = 0;
  std::string_view rest = text;
  while (const char letter = take_letter(rest)) {
    letters[size++] = letter;
    if (size > k_longest) return 0;
  }
  const std::string_view name(letters.data(), size);
  const auto* found = std::lower_bound(
      k_names.begin(), k_names.end(), name,
      [](const MonthName& known, std::string_view sought) { return known.name < sought; });
  if (found == k_names.end() || found->name != name) return 0;
  text = rest;
  return found->month;
}

} // namespace coolband
