// SPDX-License-Identifier: Apache-2.0
// One simulated vehicle of the coverage study.
#include "bench/coverage_trial.hpp"

#include "band/condition_walk.hpp"
#include "bench/owned_vehicle.hpp"
#include "coolband/analyse.hpp"
#include "support/drive_simulator.hpp"
#include "support/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>
#include <regex>
#include <utility>
#include <vector>

namespace coolband::testing {
namespace {

// ---- the library: all that is asked of it ----

struct Limits {
  double centre_c = 0.0;
  double lower_c = 0.0;
  double upper_c = 0.0;
};

/// Of each block, as the judgement has them.
std::vector<Limits> limits_of(const NormalBand& band, const Blocks& blocks) {
  const Predictor predictor(band);
  ConditionWalk walk(blocks);
  std::vector<Limits> limits;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    walk.step();
    const Prediction expected = predictor.at(walk.conditions());
    limits.push_back({expected.centre_c, expected.lower_c, expected.upper_c});
  }
  return limits;
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
  LearnOptions options;
  options.fit_circuit = false; // the band does not rest on it
  return learn_band(std::move(summaries), "simulated", std::nullopt, options);
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

/// The same text for messages that differ in numbers or names only.
std::string kind_of(const std::string& message) {
  static const std::regex k_number(R"(-?\d+(\.\d+)?( (min|s|h)\b(?!\.))?( \d+ (min|s)\b)?)");
  return std::regex_replace(message.substr(0, message.find(':')), k_number, "#");
}

class Trial {
 public:
  explicit Trial(const TrialPlan& plan) : index_(plan.index), with_details_(plan.details) {
    Random random(plan.seed * 0x9E3779B9ULL + plan.index * 0x632BE5ABULL + 17U);
    owned_ = make_owned(random);
    for (Drive& drive : make_drives(owned_, random, k_learned.back()))
      learning_.push_back(drive_it(owned_, drive));
    test_plans_ = make_drives(owned_, random, plan.tests);
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
    TrialOutcome& outcome = result_.outcomes[c][n];
    if (!band) {
      outcome.refused = kind_of(band.error().message);
      return;
    }
    for (const LeftOut& left : band->left_out) ++outcome.left_out[kind_of(left.reason)];
    for (std::size_t i = 0; i < tests.size(); ++i) {
      const auto findings = judge_log(tests[i], *band);
      count_drive(findings, outcome);
      const TrialOutcome before = outcome;
      for (const TripFinding& finding : findings)
        count_blocks(finding.trip, *band, regimes_[i], outcome);
      if (with_details_) describe_drive({c, n}, i, findings, *band, before);
    }
  }

  static void count_drive(const std::vector<TripFinding>& findings, TrialOutcome& outcome) {
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
                           const std::vector<Regime>& regimes, TrialOutcome& outcome) {
    const Blocks& blocks = trip.blocks;
    const auto all_limits = limits_of(band, blocks);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
      const Limits& limits = all_limits[i];
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
                      const NormalBand& band, const TrialOutcome& before) {
    const TrialOutcome& after = result_.outcomes[at.columns][at.learned];
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
    const auto all_limits = limits_of(band, blocks);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
      const Limits& limits = all_limits[i];
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

} // namespace

VehicleResult run_trial(const TrialPlan& plan) { return Trial(plan).run(); }

} // namespace coolband::testing
