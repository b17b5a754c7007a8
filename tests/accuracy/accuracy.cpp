// SPDX-License-Identifier: Apache-2.0
// How right the diagnosis is: many simulated vehicles, each learned from twelve drives and judged
// on healthy drives of nine kinds and on one drive with each of the 25 faults. Prints figures with
// 95 % intervals beside their targets; asserts nothing.
//
//   accuracy_bench [--vehicles N] [--seed S] [--columns full,coolant-only,...|all]
//                  [--faults NAME,...|none] [--threads T] [--details] [--table] [--write DIR
//                  CASE-ID]
//
// The result depends on vehicles, seed, columns and faults only. `--details` adds a line for each
// wrong case, which begins with its id; `--write` puts that case's logs (in the first set of
// columns) and scenarios into a directory.
#include "accuracy/tables.hpp"
#include "accuracy/trial.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <atomic>
#include <charconv>
#include <cstdlib>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

namespace {

using namespace coolband;
using namespace coolband::accuracy;

constexpr int k_usage_exit = 2;

[[noreturn]] void give_up(const std::string& why) {
  fmt::print(stderr, "accuracy_bench: {}\n", why);
  std::exit(k_usage_exit);
}

std::vector<std::string_view> parts_of(std::string_view list) {
  std::vector<std::string_view> parts;
  while (!list.empty()) {
    const std::size_t comma = std::min(list.find(','), list.size());
    parts.push_back(list.substr(0, comma));
    list.remove_prefix(std::min(comma + 1, list.size()));
  }
  return parts;
}

std::vector<ColumnSet> sets_named(std::string_view list) {
  if (list == "all") return {column_sets().begin(), column_sets().end()};
  std::vector<ColumnSet> sets;
  for (const std::string_view name : parts_of(list)) {
    const auto set = column_set_named(name);
    if (!set) give_up(fmt::format("unknown set of columns '{}'", name));
    sets.push_back(*set);
  }
  return sets;
}

std::vector<FaultKind> faults_named(std::string_view list) {
  std::vector<FaultKind> faults;
  if (list == "none") return faults;
  for (const std::string_view name : parts_of(list)) {
    const auto kind = fault_named(name);
    if (!kind) give_up(fmt::format("unknown fault '{}'", name));
    faults.push_back(*kind);
  }
  return faults;
}

template <class Number>
Number number_in(std::string_view option, std::string_view text) {
  Number value{};
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size())
    give_up(fmt::format("{} needs a whole number, not '{}'", option, text));
  return value;
}

struct Arguments {
  Settings settings;
  std::size_t threads = std::max(1U, std::thread::hardware_concurrency());
};

/// How many arguments the option took besides itself.
int read_option(Arguments& arguments, const std::vector<std::string_view>& given) {
  Settings& settings = arguments.settings;
  const std::string_view option = given[0];
  if (option == "--table") {
    settings.table = true;
    return 0;
  }
  if (option == "--details") {
    settings.details = true;
    return 0;
  }
  if (given.size() < 2)
    give_up(fmt::format("unknown option '{}', or its value is missing", option));
  if (option == "--vehicles") {
    settings.vehicles = number_in<std::size_t>(option, given[1]);
  } else if (option == "--seed") {
    settings.seed = number_in<std::uint64_t>(option, given[1]);
  } else if (option == "--threads") {
    arguments.threads = std::max<std::size_t>(1, number_in<std::size_t>(option, given[1]));
  } else if (option == "--columns") {
    settings.sets = sets_named(given[1]);
  } else if (option == "--faults") {
    settings.faults = faults_named(given[1]);
  } else if (option == "--write" && given.size() > 2) {
    settings.write_to = given[1];
    settings.write_id = given[2];
    return 2;
  } else {
    give_up(fmt::format("unknown option '{}', or its value is missing", option));
  }
  return 1;
}

Arguments read_arguments(int argc, char** argv) {
  Arguments arguments;
  arguments.settings.sets = sets_named("full");
  const auto all = all_fault_kinds();
  arguments.settings.faults.assign(all.begin(), all.end());
  for (int i = 1; i < argc; ++i)
    i += read_option(arguments, std::vector<std::string_view>(argv + i, argv + argc));
  return arguments;
}

/// The vehicles to run: all, or the one that a case to be written belongs to.
std::vector<std::size_t> vehicles_of(const Settings& settings) {
  std::vector<std::size_t> numbers;
  if (!settings.write_id.empty()) {
    const std::string_view id = settings.write_id;
    const std::size_t dash = id.find('-');
    if (id.front() != 'v' || dash == std::string_view::npos)
      give_up(fmt::format("no case is called '{}'; see --details", id));
    return {number_in<std::size_t>("--write", id.substr(1, dash - 1))};
  }
  for (std::size_t i = 0; i < settings.vehicles; ++i) numbers.push_back(i);
  return numbers;
}

std::vector<VehicleResult> run_all(const Arguments& arguments) {
  const auto numbers = vehicles_of(arguments.settings);
  std::vector<VehicleResult> results(numbers.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < results.size(); i = next++)
      results[i] = run_vehicle(arguments.settings, numbers[i]);
  };
  std::vector<std::thread> threads;
  for (std::size_t i = 1; i < arguments.threads; ++i) threads.emplace_back(work);
  work();
  for (std::thread& thread : threads) thread.join();
  return results;
}

std::vector<Case> cases_of(const std::vector<VehicleResult>& results, std::size_t set) {
  std::vector<Case> cases;
  for (const VehicleResult& result : results)
    cases.insert(cases.end(), result.cases[set].begin(), result.cases[set].end());
  return cases;
}

void print_all(const Settings& settings, const std::vector<VehicleResult>& results) {
  fmt::print("{} vehicles, seed {}\n{}", results.size(), settings.seed, population_text(results));
  for (std::size_t s = 0; s < settings.sets.size(); ++s) {
    const auto cases = cases_of(results, s);
    fmt::print("{}{}", figures_text(settings.sets[s], cases), confusion_text(cases));
    if (settings.details) fmt::print("{}", details_text(cases));
    if (settings.table) fmt::print("{}", table_text(cases));
  }
  for (const VehicleResult& result : results) {
    for (const std::string& problem : result.problems) fmt::print("problem: {}\n", problem);
  }
}

} // namespace

int main(int argc, char** argv) {
  const Arguments arguments = read_arguments(argc, argv);
  const auto results = run_all(arguments);
  print_all(arguments.settings, results);
  const Settings& settings = arguments.settings;
  if (!settings.write_id.empty() && !results.front().written)
    give_up(fmt::format("case '{}' was not written; see --details for ids", settings.write_id));
  return 0;
}
