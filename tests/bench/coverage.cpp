// SPDX-License-Identifier: Apache-2.0
// Whether a learned band holds what it promises: many simulated healthy vehicles, each learned from
// 1, 3, 10 and 30 drives and tried on drives that it has not seen. Prints Markdown; asserts
// nothing.
//
//   coverage_bench [--vehicles N] [--seed S] [--threads T] [--tests N] [--details DIRECTORY]
//
// The result depends on vehicles, seed and tests only. `--details` writes what lies behind the
// table: vehicles.csv, drives.csv and blocks.csv.
//
// A thermostat that has long been shut, or wide open, does not regulate, and a sound one does both:
// it is shut on an engine that a descent, an idle or frost cools faster than it is heated, and
// until a warm-up is through. The simulation knows its valve, so content is told for regulated
// running, which is what a band promises to hold, and for all that the library took for it.
#include "bench/owned_vehicle.hpp"
#include "coolband/analyse.hpp"
#include "support/drive_simulator.hpp"
#include "support/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <map>
#include <optional>
#include <regex>
#include <string>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

namespace {

using namespace coolband;
using namespace coolband::testing;

using Counts = std::map<std::string, std::size_t>;

constexpr std::array<std::size_t, 4> k_learned{1, 3, 10, 30};

/// Which columns the logs of a vehicle have besides time and coolant.
struct LogColumns {
  std::string_view name;
  bool load = true;
  bool ambient = true;
  bool motion = true; ///< engine speed, road speed, altitude
};
constexpr std::array<LogColumns, 4> k_columns{{{"load and ambient", true, true, true},
                                               {"ambient only", false, true, true},
                                               {"neither", false, false, true},
                                               {"coolant alone", false, false, false}}};

// ---- the library: all that is asked of it ----

struct Limits {
  double centre_c = 0.0;
  double lower_c = 0.0;
  double upper_c = 0.0;
};

/// As the judgement does for a block.
Limits limits_at(const NormalBand& band, const Blocks& blocks, std::size_t block) {
  const auto known = [&](const std::vector<float>& column) -> std::optional<double> {
    if (std::isnan(column[block])) return std::nullopt;
    return static_cast<double>(column[block]);
  };
  const Prediction expected = predict(band, known(blocks.load_lagged), known(blocks.ambient));
  return {expected.centre_c, expected.lower_c, expected.upper_c};
}

/// The summaries of one log; reasons why it has none are counted.
std::vector<DriveSummary> summaries_of(const Recording& recording, Counts& refused) {
  std::vector<DriveSummary> summaries;
  for (const LearningDrive& drive : summarise_drives(recording)) {
    if (drive.summary)
      summaries.push_back(*drive.summary);
    else
      ++refused[drive.summary.error().message];
  }
  return summaries;
}

Result<NormalBand> learn(std::vector<DriveSummary> summaries) {
  return learn_band(std::move(summaries), "simulated");
}

std::vector<TripFinding> judge_log(const Recording& recording, const NormalBand& band) {
  return analyse(recording, band, std::nullopt);
}

// ---- one vehicle ----

/// What a reader would make of the log's columns.
Recording recording_of(const DriveLog& log, const LogColumns& columns) {
  Recording recording;
  recording.source = "simulated.csv";
  for (const float time_s : log.time_s) recording.time_s.push_back(static_cast<double>(time_s));
  recording.column(Role::coolant) = log.coolant_c;
  if (columns.load) recording.column(Role::load) = log.load_pct;
  if (columns.ambient) recording.column(Role::ambient) = log.ambient_c;
  if (!columns.motion) return recording;
  recording.column(Role::rpm) = log.rpm;
  recording.column(Role::speed) = log.speed_kmh;
  recording.column(Role::altitude) = log.altitude_m;
  return recording;
}

enum class Regime : std::uint8_t { regulated, not_yet_open, shut, wide_open };

std::string_view name_of(Regime regime) {
  constexpr std::array<std::string_view, 4> k_names{"regulated", "not-yet-open", "shut",
                                                    "wide-open"};
  return k_names[static_cast<std::size_t>(regime)];
}

/// What the valve was doing in each row. Shut or wide open counts from three minutes at a stretch:
/// regulation that swings comes by either end for less.
std::vector<Regime> regimes_of(const DriveLog& log) {
  constexpr float k_stretch_s = 180.0F;
  const auto plainly = [&](std::size_t row) {
    if (log.true_lift[row] < 0.01F) return Regime::shut;
    return log.true_lift[row] > 0.99F ? Regime::wide_open : Regime::regulated;
  };
  std::vector<Regime> regimes(log.size(), Regime::regulated);
  for (std::size_t first = 0, last = 0; first < log.size(); first = last) {
    Regime regime = plainly(first);
    while (last < log.size() && plainly(last) == regime) ++last;
    if (log.time_s[last - 1] - log.time_s[first] < k_stretch_s) regime = Regime::regulated;
    if (first == 0 && plainly(0) == Regime::shut) regime = Regime::not_yet_open;
    std::fill(regimes.begin() + static_cast<std::ptrdiff_t>(first),
              regimes.begin() + static_cast<std::ptrdiff_t>(last), regime);
  }
  return regimes;
}

/// What one band of one vehicle came to on the test drives.
struct Outcome {
  std::string refused; ///< why there is no band; empty when there is one
  Counts left_out;
  double inside_s = 0.0; ///< warm blocks only, here and below
  double judged_s = 0.0;
  double inside_regulated_s = 0.0;
  double regulated_s = 0.0;
  double half_width_s = 0.0; ///< K s: half widths at the blocks' own conditions
  std::size_t drives = 0;
  std::size_t with_episode = 0; ///< drives with an unexplained episode
  std::size_t accused = 0;      ///< verdict neither normal nor undetermined
  std::size_t undetermined = 0;

  [[nodiscard]] double content() const { return judged_s > 0.0 ? inside_s / judged_s : 0.0; }
  [[nodiscard]] double regulated_content() const {
    return regulated_s > 0.0 ? inside_regulated_s / regulated_s : 0.0;
  }
  [[nodiscard]] double half_width_c() const {
    return judged_s > 0.0 ? half_width_s / judged_s : 0.0;
  }
};

struct Details {
  std::string vehicles;
  std::string drives;
  std::string blocks;
};

struct VehicleResult {
  std::array<std::array<Outcome, k_learned.size()>, k_columns.size()> outcomes;
  std::array<Counts, k_columns.size()> unlearnable; ///< logs without a summary, by reason
  Details details;
};

/// The same text for messages that differ in numbers or names only.
std::string kind_of(const std::string& message) {
  static const std::regex k_number(R"(-?\d+(\.\d+)?( (min|s|h)\b(?!\.))?( \d+ (min|s)\b)?)");
  return std::regex_replace(message.substr(0, message.find(':')), k_number, "#");
}

class Trial {
 public:
  Trial(std::uint64_t seed, std::size_t index, std::size_t tests, bool details)
      : index_(index), with_details_(details) {
    Random random(seed * 0x9E3779B9ULL + index * 0x632BE5ABULL + 17U);
    owned_ = make_owned(random);
    for (Drive& drive : make_drives(owned_, random, k_learned.back()))
      learning_.push_back(drive_it(owned_, drive));
    test_plans_ = make_drives(owned_, random, tests);
    for (const Drive& drive : test_plans_) {
      tests_.push_back(drive_it(owned_, drive));
      regimes_.push_back(regimes_of(tests_.back()));
    }
  }

  VehicleResult run() {
    if (with_details_) describe_vehicle();
    for (std::size_t c = 0; c < k_columns.size(); ++c) try_columns(c);
    return std::move(result_);
  }

 private:
  void try_columns(std::size_t c) {
    std::vector<std::vector<DriveSummary>> summaries;
    for (std::size_t i = 0; i < learning_.size(); ++i) {
      Counts refused;
      summaries.push_back(summaries_of(recording_of(learning_[i], k_columns[c]), refused));
      for (const auto& [reason, count] : refused) result_.unlearnable[c][kind_of(reason)] += count;
      for (DriveSummary& summary : summaries.back())
        summary.source += fmt::format("-{:02}", i); // the logs share a name here
    }
    std::vector<Recording> tests;
    for (const DriveLog& log : tests_) tests.push_back(recording_of(log, k_columns[c]));
    for (std::size_t n = 0; n < k_learned.size(); ++n) {
      std::vector<DriveSummary> given;
      for (std::size_t i = 0; i < k_learned[n]; ++i)
        given.insert(given.end(), summaries[i].begin(), summaries[i].end());
      try_band(c, n, learn(std::move(given)), tests);
    }
  }

  void try_band(std::size_t c, std::size_t n, const Result<NormalBand>& band,
                const std::vector<Recording>& tests) {
    Outcome& outcome = result_.outcomes[c][n];
    if (!band) {
      outcome.refused = kind_of(band.error().message);
      return;
    }
    for (const LeftOut& left : band->left_out) ++outcome.left_out[kind_of(left.reason)];
    for (std::size_t i = 0; i < tests.size(); ++i) {
      const auto findings = judge_log(tests[i], *band);
      count_drive(findings, outcome);
      const Outcome before = outcome;
      for (const TripFinding& finding : findings)
        count_blocks(finding.trip, *band, regimes_[i], outcome);
      if (with_details_) describe_drive({c, n}, i, findings, *band, before);
    }
  }

  static void count_drive(const std::vector<TripFinding>& findings, Outcome& outcome) {
    bool episode = false;
    bool accused = false;
    bool undetermined = false;
    for (const TripFinding& finding : findings) {
      const Judgement& judgement = finding.judgement;
      for (const Episode& e : judgement.episodes)
        episode = episode || e.explained_by == Explanation::none;
      const bool open = judgement.condition == Condition::undetermined;
      undetermined = undetermined || open;
      accused = accused || (!open && judgement.condition != Condition::normal);
    }
    ++outcome.drives;
    outcome.with_episode += episode ? 1U : 0U;
    outcome.accused += accused ? 1U : 0U;
    outcome.undetermined += undetermined ? 1U : 0U;
  }

  static std::size_t middle_row(const Blocks& blocks, std::size_t block) {
    return (blocks.first_row[block] + blocks.last_row[block]) / 2;
  }

  static void count_blocks(const Trip& trip, const NormalBand& band,
                           const std::vector<Regime>& regimes, Outcome& outcome) {
    const Blocks& blocks = trip.blocks;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
      const Limits limits = limits_at(band, blocks, i);
      const double length_s = blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s;
      const auto coolant = static_cast<double>(blocks.coolant[i]);
      const bool inside = coolant >= limits.lower_c && coolant <= limits.upper_c;
      outcome.inside_s += inside ? length_s : 0.0;
      outcome.judged_s += length_s;
      if (regimes[middle_row(blocks, i)] == Regime::regulated) {
        outcome.inside_regulated_s += inside ? length_s : 0.0;
        outcome.regulated_s += length_s;
      }
      outcome.half_width_s += 0.5 * (limits.upper_c - limits.lower_c) * length_s;
    }
  }

  /// Indices into k_columns and k_learned.
  struct Case {
    std::size_t columns = 0;
    std::size_t learned = 0;
  };

  void describe_vehicle() {
    const Vehicle& v = owned_.vehicle;
    result_.details.vehicles =
        fmt::format("{},{:.1f},{:.1f},{:.2f},{:.1f},{},{:.1f},{:.0f},{:.0f},{:.0f},{:.2f},{:.1f},"
                    "{:.1f},{:.0f},{:.0f},{:.2f},{:.2f},{:.2f},{:.2f}\n",
                    index_, v.opens_c, v.span_c, v.hysteresis_k, v.wax_lag_s,
                    v.fan == FanKind::viscous ? "viscous" : "electric", v.fan_on_c,
                    v.engine_kj_per_k, v.full_heat_kw, v.mass_kg, v.radiator_ua_kw_per_k,
                    v.sensor_lag_s, v.sensor_step_c, owned_.payload_kg, owned_.trailer_kg,
                    owned_.hilly, owned_.standing, owned_.town, owned_.motorway);
  }

  void describe_drive(Case at, std::size_t drive, const std::vector<TripFinding>& findings,
                      const NormalBand& band, const Outcome& before) {
    const Outcome& after = result_.outcomes[at.columns][at.learned];
    const DrivePlan& plan = test_plans_[drive].plan;
    std::string episodes;
    std::string verdict;
    for (const TripFinding& finding : findings) {
      verdict += std::string(name_of(finding.judgement.condition));
      for (const Episode& e : finding.judgement.episodes) {
        const bool open = e.explained_by == Explanation::none;
        episodes += fmt::format("{}{:.0f}-{:.0f} {:+.1f} {}", episodes.empty() ? "" : " | ",
                                e.start_s, e.end_s, e.worst_deviation_c,
                                open ? "unexplained" : name_of(e.explained_by));
      }
      describe_blocks(at, drive, finding.trip, band);
    }
    fmt::format_to(std::back_inserter(result_.details.drives),
                   "{},{},{},{},{:.0f},{:.0f},{:.1f},{:.1f},{:.0f},{:.2f},{:.2f},{:.2f},{},{}\n",
                   index_, k_columns[at.columns].name, k_learned[at.learned], drive,
                   after.judged_s - before.judged_s, after.inside_s - before.inside_s,
                   plan.ambient_c, plan.start_c, plan.extra_mass_kg, band.between_c, band.within_c,
                   band.half_width_c, verdict, episodes);
  }

  void describe_blocks(Case at, std::size_t drive, const Trip& trip, const NormalBand& band) {
    const Blocks& blocks = trip.blocks;
    const DriveLog& log = tests_[drive];
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
      const Limits limits = limits_at(band, blocks, i);
      const std::size_t middle = middle_row(blocks, i);
      fmt::format_to(
          std::back_inserter(result_.details.blocks),
          "{},{},{},{},{:.0f},{:.2f},{:.2f},{:.2f},{:.2f},{:.0f},{:.1f},{:.0f},{:.2f},{}\n", index_,
          k_columns[at.columns].name, k_learned[at.learned], drive, blocks.start_s[i],
          blocks.coolant[i], limits.centre_c, limits.lower_c, limits.upper_c, blocks.load_lagged[i],
          blocks.ambient[i], blocks.speed[i], log.true_lift[middle],
          name_of(regimes_[drive][middle]));
    }
  }

  std::size_t index_;
  bool with_details_;
  Owned owned_;
  std::vector<DriveLog> learning_;
  std::vector<Drive> test_plans_;
  std::vector<DriveLog> tests_;
  std::vector<std::vector<Regime>> regimes_; ///< of `tests_`
  VehicleResult result_;
};

// ---- all vehicles ----

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
      results[i] = Trial(settings.seed, i, settings.tests, !settings.details.empty()).run();
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
std::string share_of_drives(const std::vector<Outcome>& outcomes, std::size_t Outcome::*counted) {
  double all = 0.0;
  double hits = 0.0;
  for (const Outcome& o : outcomes) {
    all += static_cast<double>(o.drives);
    hits += static_cast<double>(o.*counted);
  }
  if (all <= 0.0) return "-";
  const double share = hits / all;
  double squares = 0.0;
  for (const Outcome& o : outcomes) {
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

void print_row(const LogColumns& columns, std::size_t learned, const std::vector<Outcome>& outcomes,
               std::size_t vehicles) {
  std::vector<double> contents;
  std::vector<double> regulated;
  std::vector<double> widths;
  for (const Outcome& outcome : outcomes) {
    contents.push_back(outcome.content());
    regulated.push_back(outcome.regulated_content());
    widths.push_back(outcome.half_width_c());
  }
  fmt::print("| {} | {} | {} | {} | {:.1f} % | {:.1f} % | {} | ±{:.1f} K | {} | {} | {} |\n",
             columns.name, learned, vehicles - outcomes.size(), share_reached(regulated),
             100.0 * quantile_of(regulated, 0.5), 100.0 * quantile_of(regulated, 0.05),
             share_reached(contents), quantile_of(widths, 0.5),
             share_of_drives(outcomes, &Outcome::with_episode),
             share_of_drives(outcomes, &Outcome::accused),
             share_of_drives(outcomes, &Outcome::undetermined));
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
      std::vector<Outcome> outcomes;
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
        const Outcome& outcome = result.outcomes[c][n];
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
