// SPDX-License-Identifier: Apache-2.0
// One self-contained HTML page, from the top down: no network, no script, for screen and paper,
// light and dark. Every text is escaped; pictures are SVG of our own making and go in as they are.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coolband {

struct PageTable {
  std::string caption;              ///< said to a screen reader as well
  std::vector<std::string> columns; ///< headings
  std::vector<std::vector<std::string>> rows;
  std::vector<bool> numeric; ///< columns that align right; may be shorter than `columns`
  std::vector<std::string> links =
      {}; ///< id to which the first cell of each row leads; may be shorter
  /// Cells are sentences: on a narrow screen a row becomes a block, each cell below its heading.
  bool prose = false;
};

/// What a picture may take of a printed sheet: with many panels and small print it needs more.
enum class PictureRoom { usual, large };

/// In order: each call adds below what is there. (`Page` is the terminal's, in layout.hpp.)
class HtmlPage {
 public:
  /// `title` for the browser and as the page's heading, `about` the line below it (vehicle, trip).
  HtmlPage(std::string title, std::string about);

  /// The verdict's banner: what is so, and what to do. Colour, a sign and a word tell the level.
  void banner(Action action, const std::string& headline, const std::string& detail);
  /// What follows is about one of several (a trip, a vehicle); its sections are a level lower. `id`
  /// is what a link of `table` may lead to.
  void part(const std::string& heading, const std::string& id);
  void section(const std::string& heading);
  void paragraph(const std::string& text);
  void list(const std::vector<std::string>& items);
  void steps(const std::vector<std::string>& items);     ///< numbered
  void checklist(const std::vector<std::string>& items); ///< boxes to tick by hand
  void cautions(const std::vector<std::string>& items);
  /// Name and value by line.
  void facts(const std::vector<std::pair<std::string, std::string>>& pairs);
  void table(const PageTable& table);
  /// `words` say to a reader who cannot see it what the picture shows.
  void picture(const std::string& svg, const std::string& words,
               PictureRoom room = PictureRoom::usual);
  void fold(const std::string& summary, const std::vector<std::string>& items); ///< shut at first
  /// The same around what was added to another page.
  void fold(const std::string& summary, const HtmlPage& inner);

  /// What was added so far, to go into another page by `add`. Sections belong to the page itself.
  [[nodiscard]] std::string take();
  void add(const std::string& taken) { body_ += taken; }

  /// The whole page, with a newline at the end.
  [[nodiscard]] std::string finished() const;

 private:
  void end_section();

  std::string title_;
  std::string about_;
  std::string body_;
  std::size_t headings_ = 0;
  bool in_section_ = false;
  bool in_part_ = false;
};

/// The style sheet that every page carries. Its colours are custom properties: `--NAME-ground` is
/// what lies behind `--NAME-ink`, `--NAME-soft-ink` and so on; nothing else names a colour.
std::string_view page_style();

} // namespace coolband
