// SPDX-License-Identifier: Apache-2.0
// One drive before or after a repair, as far as the proof needs it.
#include "repair/proof_drive.hpp"

#include "band/condition_walk.hpp"
#include "diagnose/episodes.hpp"
#include "diagnose/explain.hpp"
#include "diagnose/usual_dips.hpp"
#include "segment/dips.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// As for a judgement.
constexpr double k_least_level_s = 300.0;
/// Shorter warm-ups began half warm and tell little of a pace, s.
constexpr double k_least_warm_up_s = 240.0;
/// A log that ends within this many times the usual warm-up has not given it time.
constexpr double k_time_given = 1.5;

Showing showing_of(const Judgement& judgement) {
  if (judgement.condition == Condition::normal) return Showing::clean;
  if (judgement.condition != Condition::undetermined) return Showing::shows;
  return anything_unexplained(judgement.episodes) ? Showing::doubtful : Showing::cannot_tell;
}

bool within_explained(const Judgement& judgement, double time_s) {
  return std::any_of(judgement.episodes.begin(), judgement.episodes.end(), [&](const Episode& e) {
    return e.explained_by != Explanation::none && time_s >= e.start_s && time_s < e.end_s;
  });
}

/// Far beyond what the band has seen, where a correction is a guess.
bool unsure(const Prediction& expected, const NormalBand& band) {
  constexpr double k_guess_k = 1.0;
  const double half_c = expected.upper_c - expected.centre_c;
  return expected.extrapolated && half_c > band.half_width_c + k_guess_k;
}

std::optional<double> mean_residual(const TripFinding& finding, const NormalBand& band) {
  const Trip& trip = finding.trip;
  const Blocks& blocks = trip.blocks;
  const Predictor predictor(band);
  ConditionWalk walk(blocks);
  double sum = 0.0;
  double seconds = 0.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    walk.step();
    if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
    const Prediction expected = predictor.at(walk.conditions());
    if (unsure(expected, band) || within_explained(finding.judgement, blocks.start_s[i])) continue;
    const double length_s = blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s;
    sum += length_s * (static_cast<double>(blocks.coolant[i]) - expected.centre_c);
    seconds += length_s;
  }
  if (seconds < k_least_level_s) return std::nullopt;
  return sum / seconds;
}

std::optional<ProofWarmUp> first_warm_up(const Trip& trip, const NormalBand& band) {
  for (const WarmUp& warm_up : trip.warm_ups) {
    const auto expected_s = expected_warm_up_s(band, warm_up);
    if (!expected_s || *expected_s < k_least_warm_up_s || in_deep_cold(warm_up)) continue;
    const double from_s = warm_up.start_s;
    const double to_s = from_s + k_time_given * *expected_s;
    // An engine that idles may take any time (see k_idle_share).
    if (idle_share(trip.blocks, from_s, to_s).value_or(0.0) > k_idle_share) continue;
    return ProofWarmUp{warm_up.from_c, warm_up.reached_s, *expected_s, trip.duration_s >= to_s};
  }
  return std::nullopt;
}

std::optional<double> first_opening(const Trip& trip) {
  for (const WarmUp& warm_up : trip.warm_ups) {
    if (warm_up.opened_c) return warm_up.opened_c;
  }
  return std::nullopt;
}

CauseProbabilities probabilities_of(const Judgement& judgement) {
  CauseProbabilities probability{};
  for (const Cause& cause : judgement.causes)
    probability.at(static_cast<std::size_t>(cause.condition)) = cause.probability;
  return probability;
}

} // namespace

std::string_view name_of(Showing showing) {
  switch (showing) {
  case Showing::clean: return "clean";
  case Showing::shows: return "shows-a-fault";
  case Showing::doubtful: return "doubtful";
  case Showing::cannot_tell: return "cannot-tell";
  }
  return "";
}

ProofDrive proof_drive(const TripFinding& finding, const NormalBand& band) {
  const Judgement& judgement = finding.judgement;
  const Trip& trip = finding.trip;
  ProofDrive drive;
  drive.condition = judgement.condition;
  drive.confidence = judgement.confidence;
  drive.action = judgement.action;
  drive.headline = judgement.headline;
  drive.showing = showing_of(judgement);
  drive.judged_s = judgement.judged_s;
  drive.duration_s = trip.duration_s;
  if (judgement.condition != Condition::sensor_fault)
    drive.residual_k = mean_residual(finding, band);
  if (drive.residual_k) drive.level_c = band.centre_c + *drive.residual_k;
  drive.hottest_c = judgement.hottest_c;
  drive.ambient_c = usual_ambient_c(trip);
  drive.warm_up = first_warm_up(trip, band);
  drive.opened_c = first_opening(trip);
  drive.amplitude_k = trip.regulation.amplitude_k;
  const Dips dips = find_dips(trip, shut_below_c(band));
  drive.dips = dips.warm;
  drive.dips_shut = dips.shut;
  drive.probability = probabilities_of(judgement);
  drive.situation = situation_of(finding);
  return drive;
}

bool ProofDrive::could_show(Condition fault) const {
  if (!counts()) return false;
  return std::none_of(unable.begin(), unable.end(),
                      [&](const auto& entry) { return entry.first == fault; });
}

double ProofDrive::probability_of(Condition cause) const {
  const auto c = static_cast<std::size_t>(cause);
  return c < probability.size() ? probability[c] : 0.0;
}

void put_in_order(std::vector<ProofDrive>& drives) {
  const bool dated =
      std::all_of(drives.begin(), drives.end(), [](const ProofDrive& d) { return d.at; });
  if (!dated) return;
  std::stable_sort(drives.begin(), drives.end(), [](const ProofDrive& a, const ProofDrive& b) {
    return a.at->time_s < b.at->time_s;
  });
  // A stop as short as that leaves the engine hot (common practice, no source). Drives that overlap
  // are of a clock that began anew, and may be days apart.
  constexpr double k_same_outing_s = 600.0;
  constexpr double k_overlap_s = -60.0;
  for (std::size_t i = 1; i < drives.size(); ++i) {
    const double stood_s =
        drives[i].at->time_s - drives[i - 1].at->time_s - drives[i - 1].duration_s;
    drives[i].continues = stood_s > k_overlap_s && stood_s < k_same_outing_s;
  }
}

} // namespace coolband
