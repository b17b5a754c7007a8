// SPDX-License-Identifier: Apache-2.0
// Wrapping, labels and tables.
#include "report/layout.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace coolband;

using Lines = std::vector<std::string>;

TEST_CASE("text is broken at blanks, and only there") {
  CHECK(wrap("one two three", 7) == Lines{"one two", "three"});
  CHECK(wrap("one two three", 13) == Lines{"one two three"});
  CHECK(wrap("one two three", 3) == Lines{"one", "two", "three"});
  CHECK(wrap("", 10) == Lines{""});
  CHECK(wrap("a  b", 10) == Lines{"a b"});
}

TEST_CASE("a word wider than the line stands alone and whole") {
  CHECK(wrap("a incomprehensible b", 5) == Lines{"a", "incomprehensible", "b"});
}

TEST_CASE("width counts characters, not bytes") {
  CHECK(display_width("80 °C") == 5);
  CHECK(wrap("°C°C °C°C", 9) == Lines{"°C°C °C°C"});
  CHECK(wrap("°C°C °C°C", 8) == Lines{"°C°C", "°C°C"});
}

TEST_CASE("a unit stays on the line of its number") {
  CHECK(wrap("ran at 80.0 °C today", 11) == Lines{"ran at", "80.0 °C", "today"});
  CHECK(wrap("for 27 min, then", 6) == Lines{"for", "27 min,", "then"});
  CHECK(wrap("chapter 27 months", 10) == Lines{"chapter 27", "months"});
}

TEST_CASE("a page puts labels into a column and wraps beside it") {
  Page page({60, false});
  page.add("VERDICT", "one two three four five six seven eight nine ten eleven");
  page.add("", "continued");
  page.add_blank();
  page.add_list("WHY", {"first reason that is rather long for so narrow a page", "second"}, true);
  CHECK(page.take() == "VERDICT    one two three four five six seven eight nine ten\n"
                       "           eleven\n"
                       "           continued\n"
                       "\n"
                       "WHY        1. first reason that is rather long for so narrow\n"
                       "              a page\n"
                       "           2. second\n");
}

TEST_CASE("on a narrow page text begins behind its label, and lists and tables below it") {
  Page page({40, false});
  page.add("VERDICT", "one two three four five six seven");
  page.add("", "continued");
  page.add_list("WHY", {"first reason that is rather long, in words", "second"}, true);
  page.add_list("NOTHING", {});
  page.add_table("T", {{"a", "b"}, {"long cell", "c"}});
  CHECK(page.take() == "VERDICT one two three four five six\n"
                       "  seven\n"
                       "  continued\n"
                       "WHY\n"
                       "1. first reason that is rather long, in\n"
                       "   words\n"
                       "2. second\n"
                       "T\n"
                       "a          b\n"
                       "long cell  c\n");
}

TEST_CASE("colour stays on its side of a label on a narrow page as well") {
  Page page({40, true});
  page.add("VERDICT", "one", ansi::k_fault);
  CHECK(page.take() == "\x1b[1mVERDICT \x1b[0m\x1b[1;33mone\x1b[0m\n");
}

TEST_CASE("a table's columns are as wide as their widest cell") {
  Page page({80, false});
  page.add_table("T", {{"a", "reading", "b"}, {"long cell", "70 °C", "c"}});
  CHECK(page.take() == "T          a          reading  b\n"
                       "           long cell  70 °C    c\n");
}

TEST_CASE("colour is added only when asked for, and control characters never pass") {
  Page plain({80, false});
  plain.add("X", "a\x1b[31mb", ansi::k_fault);
  CHECK(plain.take() == "X          a?[31mb\n");
  Page coloured({80, true});
  coloured.add("X", "ab", ansi::k_fault);
  const std::string text = coloured.take();
  CHECK(text.find("\x1b[1;33mab\x1b[0m") != std::string::npos);
}

TEST_CASE("a width below 40 is taken as 40") {
  Page page({5, false});
  page.add("L", "one two three four");
  CHECK(page.take() == "L one two three four\n");
}
