// SPDX-License-Identifier: Apache-2.0
// What the terminal can do, and the one place that writes to standard error.
#include "cli/console.hpp"

#include "core/write_all.hpp"

#include <algorithm>
#include <cstdlib>
#include <string_view>

#include <sys/ioctl.h>
#include <sys/resource.h>
#include <unistd.h>

namespace coolband::cli {

namespace {

constexpr int k_usual_width = 80;
constexpr int k_widest = 120;

bool colour_by_environment() {
  const char* no_color = std::getenv("NO_COLOR");
  if (no_color != nullptr && *no_color != '\0') return false;
  const char* term = std::getenv("TERM");
  return term != nullptr && std::string_view(term) != "dumb";
}

/// POSIX: the first of these that is set and not empty names the character set.
bool locale_is_utf8() {
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    const char* value = std::getenv(name);
    if (value == nullptr || *value == '\0') continue;
    const std::string_view text = value;
    return text.find("UTF-8") != std::string_view::npos ||
           text.find("utf8") != std::string_view::npos ||
           text.find("UTF8") != std::string_view::npos ||
           text.find("utf-8") != std::string_view::npos;
  }
  return false;
}

int terminal_width() {
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return k_usual_width;
  return std::clamp(static_cast<int>(size.ws_col), 40, k_widest);
}

} // namespace

/// Whoever closed or filled standard error does not hear it; that harms no result.
void tell(std::string_view text) { (void)write_all(STDERR_FILENO, text); }

void complain(const Error& error) { tell("coolband: " + describe(error) + "\n"); }

void remark(const std::string& text) { tell("coolband: " + printable(text) + "\n"); }

double peak_memory_mib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

bool input_is_terminal() { return isatty(STDIN_FILENO) == 1; }

TextStyle style_for(const std::string& color, bool to_file) {
  const bool terminal = !to_file && isatty(STDOUT_FILENO) == 1;
  TextStyle style;
  style.width = terminal ? terminal_width() : k_usual_width;
  style.colour = color == "always" || (color == "auto" && terminal && colour_by_environment());
  // Only a terminal is asked: a file or pipe gets the same bytes everywhere.
  style.ascii = terminal && !locale_is_utf8();
  return style;
}

} // namespace coolband::cli
