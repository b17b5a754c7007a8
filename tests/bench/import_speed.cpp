// SPDX-License-Identifier: Apache-2.0
// How fast a log is read, beside what the machine can do with the same bytes in the same run: a
// plain newline scan, and one std::from_chars of every field. Usage: import_bench LOG [RUNS]
#include "coolband/import/import_log.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <functional>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

#include <sys/resource.h>

#include <fmt/core.h>

namespace {

struct Timing {
  std::string name;
  std::function<double()> run; ///< gives a sum, so that the work cannot be left out
  std::vector<double> seconds;
  double sum = 0.0;
};

double scan_newlines(std::string_view text) {
  std::size_t lines = 0;
  while (const void* found = std::memchr(text.data(), '\n', text.size())) {
    ++lines;
    const auto used = static_cast<std::size_t>(static_cast<const char*>(found) - text.data()) + 1;
    text.remove_prefix(used);
    if (text.empty()) break;
  }
  return static_cast<double>(lines);
}

bool starts_number(char c) { return (c >= '0' && c <= '9') || c == '-'; }

/// Every number of the text, wherever it stands.
double read_numbers(std::string_view text) {
  double sum = 0.0;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (at != end) {
    if (!starts_number(*at)) {
      ++at;
      continue;
    }
    double value = 0.0;
    const auto [next, code] = std::from_chars(at, end, value);
    sum += code == std::errc() ? value : 0.0;
    at = next == at ? at + 1 : next;
  }
  return sum;
}

double import_file(const std::string& path) {
  const auto recording = coolband::import_log(path);
  if (!recording) {
    fmt::print(stderr, "{}\n", coolband::describe(recording.error()));
    return -1.0;
  }
  return static_cast<double>(recording->size());
}

std::string whole_file(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

void measure(Timing& timing) {
  const auto start = std::chrono::steady_clock::now();
  timing.sum = timing.run();
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
  timing.seconds.push_back(taken.count());
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

void print(const Timing& timing, double megabytes, double yardstick_s) {
  const double middle_s = median(timing.seconds);
  const auto [low, high] = std::minmax_element(timing.seconds.begin(), timing.seconds.end());
  fmt::print("{:<34} {:7.3f} s ({:.3f} to {:.3f}) {:8.0f} MB/s  {:5.2f} F   sum {:.6g}\n",
             timing.name, middle_s, *low, *high, megabytes / middle_s, middle_s / yardstick_s,
             timing.sum);
}

} // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    fmt::print(stderr, "usage: import_bench LOG [RUNS]\n");
    return 2;
  }
  const std::string path = argv[1];
  const int runs = argc > 2 ? std::max(1, std::atoi(argv[2])) : 7;
  rusage before{};
  import_file(path); // warms the page cache up
  getrusage(RUSAGE_SELF, &before);
  const std::string text = whole_file(path);
  if (text.empty()) {
    fmt::print(stderr, "{}: empty or not readable\n", path);
    return 3;
  }
  std::vector<Timing> timings;
  timings.push_back({"newline scan (memchr)", [&] { return scan_newlines(text); }, {}, 0.0});
  timings.push_back(
      {"std::from_chars of every field (F)", [&] { return read_numbers(text); }, {}, 0.0});
  timings.push_back(
      {"import to columns, from the file", [&] { return import_file(path); }, {}, 0.0});
  for (int run = 0; run < runs; ++run) {
    for (Timing& timing : timings) measure(timing);
  }
  const double megabytes = static_cast<double>(text.size()) / 1e6;
  fmt::print("{}: {:.1f} MB, {} runs in turn, medians (range); F = the from_chars pass\n", path,
             megabytes, runs);
  for (const Timing& timing : timings) print(timing, megabytes, median(timings[1].seconds));
  fmt::print("peak memory of the import alone: {:.1f} MiB\n",
             static_cast<double>(before.ru_maxrss) / 1024.0);
  return 0;
}
