// SPDX-License-Identifier: Apache-2.0
// Whether a learned band holds what it promises: many simulated healthy vehicles, each learned from
// 1, 3, 10 and 30 drives and tried on drives that it has not seen. Prints Markdown; asserts
// nothing.
//
//   coverage_bench [--vehicles N] [--seed S] [--threads T] [--tests N] [--details DIRECTORY]
//
// The result depends on vehicles, seed and tests only. `--details` writes what lies behind the
// table: vehicles.csv, drives.csv and blocks.csv.
#include "bench/coverage_trial.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <fstream>
#include <string>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

namespace {

using namespace coolband::testing;

struct Settings {
  std::size_t vehicles = 100;
  std::uint64_t seed = 1;
  std::size_t threads = std::max(1U, std::thread::hardware_concurrency());
  std::size_t tests = 10;
  std::string details; ///< directory
};

std::vector<VehicleResult> run_all(const Settings& settings) {
  std::vector<VehicleResult> results(settings.vehicles);
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < results.size(); i = next++)
      results[i] = run_trial({settings.seed, i, settings.tests, !settings.details.empty()});
  };
  std::vector<std::thread> threads;
  for (std::size_t i = 1; i < settings.threads; ++i) threads.emplace_back(work);
  work();
  for (std::thread& thread : threads) thread.join();
  return results;
}

/// Wilson's score interval at 95 % for a share of `n`, which need not be whole.
std::pair<double, double> wilson(double share, double n) {
  constexpr double z = 1.959963984540054;
  const double middle = (share + z * z / (2.0 * n)) / (1.0 + z * z / n);
  const double reach =
      z * std::sqrt(share * (1.0 - share) / n + z * z / (4.0 * n * n)) / (1.0 + z * z / n);
  return {std::max(0.0, middle - reach), std::min(1.0, middle + reach)};
}

std::string share_text(double share, double n) {
  const auto [low, high] = wilson(share, n);
  return fmt::format("{:.1f} % ({:.1f}-{:.1f})", 100.0 * share, 100.0 * low, 100.0 * high);
}

double quantile_of(std::vector<double> values, double q) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  const double place = q * static_cast<double>(values.size() - 1);
  const auto below = static_cast<std::size_t>(place);
  const std::size_t above = std::min(below + 1, values.size() - 1);
  return values[below] + (place - static_cast<double>(below)) * (values[above] - values[below]);
}

/// A share of drives. Drives of one vehicle are alike: the interval counts as many independent
/// drives as give the variance that the vehicles' own shares show, at most all.
std::string share_of_drives(const std::vector<TrialOutcome>& outcomes,
                            std::size_t TrialOutcome::*counted) {
  double all = 0.0;
  double hits = 0.0;
  for (const TrialOutcome& o : outcomes) {
    all += static_cast<double>(o.drives);
    hits += static_cast<double>(o.*counted);
  }
  if (all <= 0.0) return "-";
  const double share = hits / all;
  double squares = 0.0;
  for (const TrialOutcome& o : outcomes) {
    const double excess = static_cast<double>(o.*counted) - share * static_cast<double>(o.drives);
    squares += excess * excess;
  }
  const double variance = squares / (all * all);
  const double independent = variance > 0.0 ? share * (1.0 - share) / variance : all;
  return share_text(share, std::clamp(independent, static_cast<double>(outcomes.size()), all));
}

/// Vehicles whose content is at least what was promised.
std::string share_reached(const std::vector<double>& contents) {
  const auto reached = std::count_if(contents.begin(), contents.end(),
                                     [](double content) { return content >= 0.95; });
  const auto n = static_cast<double>(contents.size());
  return contents.empty() ? "-" : share_text(static_cast<double>(reached) / n, n);
}

void print_row(const LogColumns& columns, std::size_t learned,
               const std::vector<TrialOutcome>& outcomes, std::size_t vehicles) {
  std::vector<double> contents;
  std::vector<double> regulated;
  std::vector<double> widths;
  for (const TrialOutcome& outcome : outcomes) {
    contents.push_back(outcome.content());
    regulated.push_back(outcome.regulated_content());
    widths.push_back(outcome.half_width_c());
  }
  fmt::print("| {} | {} | {} | {} | {:.1f} % | {:.1f} % | {} | ±{:.1f} K | {} | {} | {} |\n",
             columns.name, learned, vehicles - outcomes.size(), share_reached(regulated),
             100.0 * quantile_of(regulated, 0.5), 100.0 * quantile_of(regulated, 0.05),
             share_reached(contents), quantile_of(widths, 0.5),
             share_of_drives(outcomes, &TrialOutcome::with_episode),
             share_of_drives(outcomes, &TrialOutcome::accused),
             share_of_drives(outcomes, &TrialOutcome::undetermined));
}

void print_table(const std::vector<VehicleResult>& results, const Settings& settings) {
  fmt::print("`coverage_bench --vehicles {0} --seed {1} --tests {2}`: {0} simulated healthy "
             "vehicles, {2} test drives each; intervals at 95 % (Wilson). Content: share of a "
             "vehicle's regulated running within the band's limits.\n\n",
             settings.vehicles, settings.seed, settings.tests);
  fmt::print(
      "| logs have | drives given | vehicles without a band | vehicles with content ≥ 95 % | "
      "median content | 5th percentile | the same, all warm running | half width (median) | "
      "drives with an unexplained episode | drives accused | drives undetermined |\n"
      "|---|---|---|---|---|---|---|---|---|---|---|\n");
  for (std::size_t c = 0; c < k_columns.size(); ++c) {
    for (std::size_t n = 0; n < k_learned.size(); ++n) {
      std::vector<TrialOutcome> outcomes;
      for (const VehicleResult& result : results) {
        if (result.outcomes[c][n].refused.empty()) outcomes.push_back(result.outcomes[c][n]);
      }
      print_row(k_columns[c], k_learned[n], outcomes, results.size());
    }
  }
}

void print_counts(std::string_view what, std::string_view where, const Counts& counts) {
  for (const auto& [reason, count] : counts)
    fmt::print("| {} | {} | {} | {} |\n", what, where, reason, count);
}

void print_refusals(const std::vector<VehicleResult>& results) {
  fmt::print("\n| refused | where | reason | times |\n|---|---|---|---|\n");
  for (std::size_t c = 0; c < k_columns.size(); ++c) {
    Counts logs;
    for (const VehicleResult& result : results) {
      for (const auto& [reason, count] : result.unlearnable[c]) logs[reason] += count;
    }
    print_counts("log", k_columns[c].name, logs);
    for (std::size_t n = 0; n < k_learned.size(); ++n) {
      Counts bands;
      Counts left_out;
      for (const VehicleResult& result : results) {
        const TrialOutcome& outcome = result.outcomes[c][n];
        if (!outcome.refused.empty()) ++bands[outcome.refused];
        for (const auto& [reason, count] : outcome.left_out) left_out[reason] += count;
      }
      const std::string where = fmt::format("{}, {} given", k_columns[c].name, k_learned[n]);
      print_counts("band", where, bands);
      print_counts("drive left out", where, left_out);
    }
  }
}

void write_details(const std::vector<VehicleResult>& results, const std::string& directory) {
  std::ofstream vehicles(directory + "/vehicles.csv");
  std::ofstream drives(directory + "/drives.csv");
  std::ofstream blocks(directory + "/blocks.csv");
  vehicles << "vehicle,opens_c,span_c,hysteresis_k,wax_lag_s,fan,fan_on_c,engine_kj_per_k,"
              "full_heat_kw,mass_kg,radiator_ua_kw_per_k,sensor_lag_s,sensor_step_c,payload_kg,"
              "trailer_kg,hilly,standing,town,motorway\n";
  drives
      << "vehicle,logs,learned,drive,judged_s,inside_s,ambient_c,start_c,extra_mass_kg,between_c,"
         "within_c,half_width_c,verdict,episodes\n";
  blocks
      << "vehicle,logs,learned,drive,start_s,coolant_c,centre_c,lower_c,upper_c,load_pct,ambient_c,"
         "speed_kmh,lift,regime\n";
  for (const VehicleResult& result : results) {
    vehicles << result.details.vehicles;
    drives << result.details.drives;
    blocks << result.details.blocks;
  }
  if (!vehicles || !drives || !blocks) fmt::print(stderr, "cannot write to {}\n", directory);
}

template <class Number>
bool parse(std::string_view text, Number& value) {
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
  return problem == std::errc() && end == text.data() + text.size() && value > 0;
}

bool read_arguments(int argc, char** argv, Settings& settings) {
  for (int i = 1; i < argc; i += 2) {
    const std::string_view name = argv[i];
    if (i + 1 >= argc) return false;
    const std::string_view value = argv[i + 1];
    bool good = false;
    if (name == "--vehicles") good = parse(value, settings.vehicles);
    if (name == "--seed") good = parse(value, settings.seed);
    if (name == "--threads") good = parse(value, settings.threads);
    if (name == "--tests") good = parse(value, settings.tests);
    if (name == "--details") good = !(settings.details = value).empty();
    if (!good) return false;
  }
  return true;
}

} // namespace

int main(int argc, char** argv) {
  Settings settings;
  if (!read_arguments(argc, argv, settings)) {
    fmt::print(stderr, "usage: coverage_bench [--vehicles N] [--seed S] [--threads T] [--tests N] "
                       "[--details DIRECTORY]\n");
    return 2;
  }
  const auto results = run_all(settings);
  print_table(results, settings);
  print_refusals(results);
  if (!settings.details.empty()) write_details(results, settings.details);
  return 0;
}
