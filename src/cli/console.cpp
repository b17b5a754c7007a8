// SPDX-License-Identifier: Apache-2.0
// What the terminal can do, and the one place that writes to standard error.
#include "cli/console.hpp"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include <sys/ioctl.h>
#include <unistd.h>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

constexpr int k_usual_width = 80;
constexpr int k_widest = 100;

bool colour_by_environment() {
  const char* no_color = std::getenv("NO_COLOR");
  if (no_color != nullptr && *no_color != '\0') return false;
  const char* term = std::getenv("TERM");
  return term != nullptr && std::string_view(term) != "dumb";
}

int terminal_width() {
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return k_usual_width;
  return std::clamp(static_cast<int>(size.ws_col), 40, k_widest);
}

} // namespace

void complain(const Error& error) { fmt::print(stderr, "coolband: {}\n", describe(error)); }

void remark(const std::string& text) { fmt::print(stderr, "coolband: {}\n", printable(text)); }

bool input_is_terminal() { return isatty(STDIN_FILENO) == 1; }

TextStyle style_for(const std::string& color, bool to_file) {
  const bool terminal = !to_file && isatty(STDOUT_FILENO) == 1;
  TextStyle style;
  style.width = terminal ? terminal_width() : k_usual_width;
  style.colour = color == "always" || (color == "auto" && terminal && colour_by_environment());
  return style;
}

} // namespace coolband::cli
