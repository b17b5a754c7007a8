// SPDX-License-Identifier: Apache-2.0
// The user's word on a column: `ROLE=HEADING[:UNIT]`.
#include "core/suggest.hpp"
#include "import/columns.hpp"
#include "import/heading.hpp"
#include "import/input_error.hpp"
#include "import/time_form.hpp"

#include <charconv>

#include <fmt/core.h>

namespace coolband {

namespace {

std::string role_list() {
  std::string text;
  for (std::size_t i = 0; i < k_any_role_count; ++i) {
    text += (i > 0 ? ", " : "") + std::string(name_of(static_cast<Role>(i)));
  }
  return text;
}

Error unknown_role(const std::string& name) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < k_any_role_count; ++i)
    names.emplace_back(name_of(static_cast<Role>(i)));
  const std::string near = nearest(name, names);
  const std::string hint = near.empty() ? "" : fmt::format("did you mean '{}'? ", near);
  return usage_error(fmt::format("no column role is called '{}'", name),
                     fmt::format("{}the roles are {}", hint, role_list()));
}

bool is_unit_word(Role role, const std::string& word) {
  if (role == Role::time && read_time_form(word)) return true;
  return quantity_of(role) != Quantity::none && unit_for(role, word).has_value();
}

std::size_t number_of(std::string_view text) {
  text = trimmed(text);
  std::size_t number = 0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), number);
  return code == std::errc() && end == text.data() + text.size() ? number : 0;
}

/// What may have been meant: a heading with something behind it that is no unit, or a near one.
std::string heading_hint(const TableHead& head, const ColumnChoice& choice) {
  const std::string_view role = name_of(choice.role);
  for (const std::string& heading : head.headings) {
    const std::size_t size = heading.size();
    if (heading.empty() || choice.heading.size() <= size || choice.heading[size] != ':' ||
        !same_text(choice.heading.substr(0, size), heading))
      continue;
    return fmt::format("'{}' is no unit of {}: --column {}=\"{}\" leaves it to the log",
                       choice.heading.substr(size + 1), role, role, heading);
  }
  const std::string near = nearest(choice.heading, head.headings);
  if (near.empty()) return "see the headings with 'coolband inspect'";
  return fmt::format("did you mean --column {}=\"{}\"?", role, near);
}

} // namespace

Result<ColumnChoice> parse_column_choice(const std::string& text) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos || trimmed(std::string_view(text).substr(equals + 1)).empty()) {
    return usage_error(fmt::format("'{}' does not name a role and a heading", text),
                       "write it as ROLE=HEADING or ROLE=HEADING:UNIT, e.g. coolant=ECT:degF");
  }
  const std::string name(trimmed(std::string_view(text).substr(0, equals)));
  const auto role = role_named(name);
  if (!role) return unknown_role(name);
  ColumnChoice choice{*role, std::string(trimmed(std::string_view(text).substr(equals + 1))), {}};
  // The first colon that has a unit behind it, as units of time may have a colon too ("mm:ss").
  for (auto colon = choice.heading.find(':', 1); colon != std::string::npos;
       colon = choice.heading.find(':', colon + 1)) {
    const std::string last(trimmed(std::string_view(choice.heading).substr(colon + 1)));
    if (!is_unit_word(*role, last)) continue;
    choice.unit = last;
    choice.heading = trimmed(std::string_view(choice.heading).substr(0, colon));
    break;
  }
  return choice;
}

Result<std::size_t> column_chosen(const TableHead& head, const ColumnChoice& choice) {
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < head.headings.size(); ++i) {
    if (same_text(head.headings[i], choice.heading)) found.push_back(i);
  }
  if (found.size() == 1) return found[0];
  const std::string_view role = name_of(choice.role);
  if (found.size() > 1) {
    return usage_error(fmt::format("{} columns are called '{}'", found.size(), choice.heading),
                       fmt::format("give the number of the one that is {}: --column {}={}", role,
                                   role, found[0] + 1));
  }
  const std::size_t number = number_of(choice.heading);
  if (number >= 1 && number <= head.width) return number - 1;
  Error error = usage_error(fmt::format("no column is called '{}'", choice.heading),
                            heading_hint(head, choice));
  error.origin = {head.name, head.line, 0};
  error.excerpt = head.text;
  return error;
}

} // namespace coolband
