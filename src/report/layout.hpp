// SPDX-License-Identifier: Apache-2.0
// Text for a terminal: wrapped paragraphs under a label column, and aligned tables.
#pragma once

#include "coolband/report/report.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// Columns that UTF-8 text takes on a terminal (one a code point).
std::size_t display_width(std::string_view text);

/// Builds a page of labelled sections:
///
///     LABEL     text that is wrapped
///               under itself
///
/// Below 60 columns the text begins behind its label, and lists and tables in the line below it.
class Page {
 public:
  explicit Page(const TextStyle& style) : style_(style) {}

  /// A paragraph; an empty label continues the section above. Control characters are replaced, in
  /// plain style all beyond ASCII as well ("66 C" for "66 °C").
  void add(std::string_view label, const std::string& text, std::string_view colour = {});
  /// One paragraph an item, each behind a mark ("- " or "1. ").
  void add_list(std::string_view label, const std::vector<std::string>& items,
                bool numbered = false);
  /// Rows of cells, the first row the heading; columns as wide as their widest cell.
  void add_table(std::string_view label, const std::vector<std::vector<std::string>>& rows);
  /// No line of such a table is wider than the page.
  [[nodiscard]] bool fits(const std::vector<std::vector<std::string>>& rows) const;
  /// A line that stands over what follows.
  void add_heading(const std::string& text);
  /// Lines that are laid out already.
  void add_picture(std::string_view label, const std::vector<std::string>& lines);
  /// Columns that a picture may take.
  [[nodiscard]] int picture_width() const;
  void add_blank() { text_ += '\n'; }

  [[nodiscard]] std::size_t lines() const;
  std::string take() { return std::move(text_); }

 private:
  [[nodiscard]] std::string told(const std::string& text) const;
  [[nodiscard]] std::vector<std::size_t>
  widths_of(const std::vector<std::vector<std::string>>& rows) const;
  [[nodiscard]] std::size_t width() const;
  [[nodiscard]] bool is_narrow() const;
  [[nodiscard]] std::size_t label_width() const;
  void add_line(std::string_view label, const std::string& line, std::string_view colour);
  void add_running_in(std::string_view label, const std::string& text, std::string_view colour);
  /// What the first line of several still has to carry of the label.
  std::string_view led_in(std::string_view label);

  TextStyle style_;
  std::string text_;
};

/// `text` broken at blanks so that no line is wider than `width`, unless a word is.
std::vector<std::string> wrap(std::string_view text, std::size_t width);

/// ASCII only: the degree sign left out, dashes and dots as they are typed, '?' for what has no
/// likeness.
std::string in_ascii(std::string_view text);

/// The items in one line, with `between` between them.
std::string joined(const std::vector<std::string>& items, std::string_view between);

namespace ansi {
inline constexpr std::string_view k_bold = "\x1b[1m";
inline constexpr std::string_view k_good = "\x1b[1;36m";  // cyan
inline constexpr std::string_view k_watch = "\x1b[1;34m"; // blue
inline constexpr std::string_view k_fault = "\x1b[1;33m"; // yellow
inline constexpr std::string_view k_danger = "\x1b[1;7m"; // reversed, whatever the palette
inline constexpr std::string_view k_plain = "\x1b[0m";
} // namespace ansi

/// The graver, the more it stands out.
std::string_view colour_of(Action action);

} // namespace coolband
