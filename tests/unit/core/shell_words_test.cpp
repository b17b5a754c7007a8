// SPDX-License-Identifier: Apache-2.0
// Words for a shell: what stands for itself, and what the shell itself makes of the others.
#include "core/shell_words.hpp"

#include <doctest/doctest.h>

#include <cstdio>
#include <memory>
#include <string>

using namespace coolband;

namespace {

/// What a shell hands to a command for the word.
std::string as_the_shell_reads(const std::string& word) {
  const std::string command = "printf %s " + word;
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe(popen(command.c_str(), "r"), &pclose);
  REQUIRE(pipe);
  std::string text;
  char block[256];
  for (std::size_t got = 0; (got = std::fread(block, 1, sizeof block, pipe.get())) > 0;)
    text.append(block, got);
  return text;
}

} // namespace

TEST_CASE("shell words: a plain name stays as it is") {
  for (const char* text : {"van-3", "logs/2031-05-06.csv", "../a_b.json", "C:,x@y+z%1", "-"})
    CHECK(shell_quoted(text) == text);
}

TEST_CASE("shell words: anything else is quoted") {
  CHECK(shell_quoted("") == "''");
  CHECK(shell_quoted("van 3; rm x") == "'van 3; rm x'");
  CHECK(shell_quoted("a$(touch x).csv") == "'a$(touch x).csv'");
  CHECK(shell_quoted("driver's") == R"('driver'\''s')");
  CHECK(shell_quoted("~") == "'~'");
  CHECK(shell_quoted("a=b") == "'a=b'");
  CHECK(shell_quoted("Fährte") == "'Fährte'");
}

TEST_CASE("shell words: a shell reads back what was quoted") {
  for (const char* text : {"van-3",    "",           "a$(echo x).csv",
                           "`echo x`", "a b\tc",     "''",
                           "'",        "a'b'",       "\\",
                           "\"",       "#x",         "*",
                           "?",        "[a]",        "{a,b}",
                           "~",        "!1",         "a&b|c;d<e>f(g)",
                           "$HOME",    "two\nlines", "ü\xC2\xA0x"}) {
    CAPTURE(text);
    CHECK(as_the_shell_reads(shell_quoted(text)) == text);
  }
}
