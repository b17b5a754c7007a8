// SPDX-License-Identifier: Apache-2.0
// The picture of a trip, as it looks.
#include "report/sketch.hpp"

#include "report/layout.hpp"
#include "support/edit_columns.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Lines = std::vector<std::string>;

Lines drawn(const Recording& recording, int width = 30, bool ascii = true) {
  return sketch(recording, find_trips(recording, condition(recording)).front(), width, ascii);
}

/// 10 minutes up from 20 to 80 °C, 10 minutes at 80, a row every 10 s.
Recording warm_up() {
  std::vector<float> coolant;
  append_ramp(coolant, 60, 20.0F, 80.0F);
  append(coolant, 61, 80.0F);
  return made_recording(10.0, coolant);
}

} // namespace

TEST_CASE("a warm-up as it looks in plain characters") {
  // clang-format off
  const Lines wanted = {
      "  80 |          .:''''''''''''",
      "     |         .'             ",
      "     |       .:'              ",
      "     |      :'                ",
      "  48 |    .:                  ",
      "     |  .:'                   ",
      "     | .'                     ",
      "  20 |:'                      ",
      "   C +------------------------",
      "      0           10    20 min"};
  // clang-format on
  CHECK(drawn(warm_up()) == wanted);
}

TEST_CASE("a hole stays empty, and so does a stretch without readings") {
  Recording recording = warm_up();
  for (std::size_t row = 70; row < 95; ++row)
    set_value(recording.column(Role::coolant), row, k_no_value);
  const Lines lines = drawn(recording);
  // Rows 70 to 94 are minutes 11.7 to 15.7 of 20: columns 14 to 18 of 24.
  for (std::size_t line = 0; line < 8; ++line)
    CHECK(lines[line].substr(6 + 15, 3).find_first_not_of(' ') == std::string::npos);
  CHECK(lines[0][6 + 12] != ' ');
  CHECK(lines[0][6 + 21] != ' ');
}

TEST_CASE("one row that is believed shows in its column however many rows share it") {
  Recording recording = made_recording(1.0, std::vector<float>(3000, 80.0F));
  set_value(recording.column(Role::coolant), 1500, 86.0F); // no jump: 6 K may be
  const Lines lines = drawn(recording);
  const std::string& spike = lines[1]; // 78 to 88 °C, 1.25 K a line
  CHECK(std::count_if(spike.begin() + 6, spike.end(), [](char c) { return c != ' '; }) == 1);
}

TEST_CASE("what is not believed is marked and does not stretch the scale") {
  Recording recording = warm_up();
  set_value(recording.column(Role::coolant), 100, -40.0F);
  set_value(recording.column(Role::coolant), 110, 215.0F);
  const Lines lines = drawn(recording);
  CHECK(lines.size() == 11);
  CHECK(lines[0].substr(0, 5) == "  80 ");
  CHECK(lines[7].substr(0, 5) == "  20 ");
  CHECK(std::count(lines[8].begin(), lines[8].end(), 'x') == 2);
}

TEST_CASE("a steady trip is drawn as steady: ten kelvins from top to bottom") {
  const Lines lines = drawn(made_recording(10.0, std::vector<float>(100, 80.0F)));
  CHECK(lines.front().substr(0, 5) == "  85 ");
  CHECK(lines[7].substr(0, 5) == "  75 ");
}

TEST_CASE("every line keeps to the width, in both sets of characters") {
  for (const int width : {29, 40, 69, 200}) {
    for (const bool ascii : {true, false}) {
      for (const std::string& line : drawn(warm_up(), width, ascii)) {
        CHECK(display_width(line) <= static_cast<std::size_t>(std::max(width, 29)));
        CHECK(display_width(line) <= 66);
      }
    }
  }
}

TEST_CASE("both sets of characters draw the same picture") {
  Lines drawn_lines = drawn(warm_up(), 60, false);
  const Lines plain = drawn(warm_up(), 60, true);
  REQUIRE(drawn_lines.size() == plain.size());
  const std::vector<std::pair<std::string, char>> same = {{"█", ':'}, {"▀", '\''}, {"▄", '.'},
                                                          {"│", '|'}, {"└", '+'},  {"─", '-'}};
  for (std::size_t i = 0; i < plain.size(); ++i) {
    for (const auto& [mark, plain_mark] : same) {
      for (auto at = drawn_lines[i].find(mark); at != std::string::npos;
           at = drawn_lines[i].find(mark))
        drawn_lines[i].replace(at, mark.size(), 1, plain_mark);
    }
    if (plain[i].find('C') == std::string::npos) CHECK(drawn_lines[i] == plain[i]);
  }
}

TEST_CASE("a trip of few rows is as narrow as it is short") {
  const Lines lines = drawn(made_recording(2.0, {80, 81, 80, 81, 80, 81, 80, 81}), 60);
  CHECK(lines[8] == "   C +--------");
}

TEST_CASE("where there is nothing to draw there is no picture") {
  CHECK(drawn(made_recording(1.0, {80})).empty());
  CHECK(drawn(made_recording(1.0, std::vector<float>(50, -40.0F))).empty());
  CHECK(drawn(made_recording(std::vector<double>(20, 5.0), std::vector<float>(20, 80.0F))).empty());
}

TEST_CASE("long and short trips are labelled in hours and seconds") {
  CHECK(drawn(made_recording(60.0, std::vector<float>(301, 80.0F))).back() ==
        "      0           2.5    5.0 h");
  CHECK(drawn(made_recording(1.0, std::vector<float>(91, 80.0F))).back() ==
        "      0           45      90 s");
}
