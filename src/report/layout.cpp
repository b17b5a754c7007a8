// SPDX-License-Identifier: Apache-2.0
// Text for a terminal: wrapped paragraphs under a label column, and aligned tables.
#include "report/layout.hpp"

#include <algorithm>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_label_width = 11;
/// On a narrower terminal a column of labels would take a quarter of each line.
constexpr std::size_t k_least_for_labels = 60;

/// A unit stays on the line of its number.
bool is_unit(std::string_view word) {
  constexpr std::string_view k_units[] = {"K", "%", "s", "min", "h", "km", "kPa", "m"};
  const std::size_t end = word.find_last_not_of(".,;:)") + 1;
  const std::string_view bare = word.substr(0, end);
  return bare.substr(0, 2) == "\xC2\xB0" ||
         std::find(std::begin(k_units), std::end(k_units), bare) != std::end(k_units);
}

/// Takes the next word, with its unit when it is a number, off the front of `text`.
std::string_view next_word(std::string_view& text) {
  std::size_t end = std::min(text.find(' '), text.size());
  if (end > 0 && end < text.size() && text[end - 1] >= '0' && text[end - 1] <= '9') {
    const std::size_t next = std::min(text.find(' ', end + 1), text.size());
    if (is_unit(text.substr(end + 1, next - end - 1))) end = next;
  }
  const std::string_view word = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return word;
}

} // namespace

std::size_t display_width(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

std::vector<std::string> wrap(std::string_view text, std::size_t width) {
  std::vector<std::string> lines(1);
  while (!text.empty()) {
    const std::string_view word = next_word(text);
    if (word.empty()) continue;
    const bool fits = display_width(lines.back()) + 1 + display_width(word) <= width;
    if (!lines.back().empty() && !fits) lines.emplace_back();
    if (!lines.back().empty()) lines.back() += ' ';
    lines.back() += word;
  }
  return lines;
}

std::string in_ascii(std::string_view text) {
  constexpr std::pair<std::string_view, std::string_view> k_alike[] = {
      {"°", ""}, {"±", "+/-"}, {"–", "-"}, {"…", "..."}, {"²", "2"}, {"×", "x"}};
  std::string plain;
  while (!text.empty()) {
    const auto alike = std::find_if(std::begin(k_alike), std::end(k_alike),
                                    [&](const auto& pair) { return text.starts_with(pair.first); });
    if (alike != std::end(k_alike)) {
      plain += alike->second;
      text.remove_prefix(alike->first.size());
      continue;
    }
    const auto byte = static_cast<unsigned char>(text.front());
    if (byte < 0x80U) plain += text.front();
    if (byte >= 0xC0U) plain += '?'; // one for each code point
    text.remove_prefix(1);
  }
  return plain;
}

std::string joined(const std::vector<std::string>& items, std::string_view between) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (i > 0) text += between;
    text += items[i];
  }
  return text;
}

std::size_t Page::width() const { return static_cast<std::size_t>(std::max(style_.width, 40)); }

bool Page::is_narrow() const { return width() < k_least_for_labels; }

std::size_t Page::label_width() const { return is_narrow() ? 0 : k_label_width; }

void Page::add_line(std::string_view label, const std::string& line, std::string_view colour) {
  std::string head = fmt::format("{:<{}}", label, label_width());
  if (style_.colour && !label.empty())
    head = fmt::format("{}{}{}", ansi::k_bold, head, ansi::k_plain);
  const bool tinted = style_.colour && !colour.empty();
  std::string whole = head + (tinted ? fmt::format("{}{}{}", colour, line, ansi::k_plain) : line);
  whole.erase(whole.find_last_not_of(' ') + 1);
  text_ += whole + '\n';
}

std::string_view Page::led_in(std::string_view label) {
  if (!is_narrow() || label.empty()) return label;
  add_line(label, "", {});
  return {};
}

std::string Page::told(const std::string& text) const {
  return style_.ascii ? in_ascii(printable(text)) : printable(text);
}

void Page::add_running_in(std::string_view label, const std::string& text,
                          std::string_view colour) {
  // The label takes the place of the first words, and the lines below it are set in a little.
  const std::string place(label.empty() ? 0 : display_width(label) + 1, 'x');
  constexpr std::string_view k_set_in = "  ";
  const auto lines =
      wrap(place.empty() ? told(text) : place + told(text), width() - k_set_in.size());
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (i == 0 && !label.empty())
      add_line(std::string(label) + " ", lines[i].substr(place.size()), colour);
    else
      add_line({}, std::string(k_set_in) + lines[i], colour);
  }
}

void Page::add(std::string_view label, const std::string& text, std::string_view colour) {
  if (is_narrow()) return add_running_in(label, text, colour);
  for (const std::string& line : wrap(told(text), width() - k_label_width)) {
    add_line(label, line, colour);
    label = {};
  }
}

void Page::add_list(std::string_view label, const std::vector<std::string>& items, bool numbered) {
  if (items.empty()) return;
  label = led_in(label);
  constexpr std::size_t k_mark_width = 3;
  for (std::size_t i = 0; i < items.size(); ++i) {
    std::string mark = numbered ? fmt::format("{}. ", i + 1) : "-  ";
    for (const std::string& line : wrap(told(items[i]), width() - label_width() - k_mark_width)) {
      add_line(label, mark + line, {});
      label = {};
      mark = "   ";
    }
  }
}

std::vector<std::size_t> Page::widths_of(const std::vector<std::vector<std::string>>& rows) const {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()), 0);
    for (std::size_t c = 0; c < row.size(); ++c)
      widths[c] = std::max(widths[c], display_width(told(row[c])));
  }
  return widths;
}

bool Page::fits(const std::vector<std::vector<std::string>>& rows) const {
  std::size_t taken = label_width();
  for (const std::size_t column : widths_of(rows)) taken += column + 2;
  return taken <= width() + 2;
}

void Page::add_table(std::string_view label, const std::vector<std::vector<std::string>>& rows) {
  const std::vector<std::size_t> widths = widths_of(rows);
  label = led_in(label);
  for (const auto& row : rows) {
    std::string line;
    for (std::size_t c = 0; c < row.size(); ++c) {
      const std::string cell = told(row[c]);
      line += cell + std::string(widths[c] - display_width(cell) + 2, ' ');
    }
    add_line(label, line, {});
    label = {};
  }
}

std::size_t Page::lines() const {
  return static_cast<std::size_t>(std::count(text_.begin(), text_.end(), '\n'));
}

void Page::add_heading(const std::string& text) {
  const std::string line = told(text);
  text_ += style_.colour ? fmt::format("{}{}{}\n", ansi::k_bold, line, ansi::k_plain) : line + '\n';
}

void Page::add_picture(std::string_view label, const std::vector<std::string>& lines) {
  label = led_in(label);
  for (const std::string& line : lines) {
    add_line(label, line, {});
    label = {};
  }
}

int Page::picture_width() const { return static_cast<int>(width() - label_width()); }

std::string_view colour_of(Action action) {
  switch (action) {
  case Action::none: return ansi::k_good;
  case Action::monitor: return ansi::k_watch;
  case Action::service: return ansi::k_fault;
  case Action::stop: return ansi::k_danger;
  }
  return ansi::k_plain;
}

} // namespace coolband
