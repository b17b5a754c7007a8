// SPDX-License-Identifier: Apache-2.0
// The judgement of one trip, step by step.
#include "coolband/diagnose/judgement.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "diagnose/boiling.hpp"
#include "diagnose/causes.hpp"
#include "diagnose/deviations.hpp"
#include "diagnose/episodes.hpp"
#include "diagnose/evidence.hpp"
#include "diagnose/explain.hpp"
#include "diagnose/regulation_criterion.hpp"
#include "diagnose/standard_codes.hpp"
#include "diagnose/verdict.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

std::vector<double> warm_readings(const Blocks& blocks) {
  std::vector<double> readings;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const auto coolant = known(blocks.coolant[i]);
    if (coolant && blocks.phase[i] == Phase::warm) readings.push_back(*coolant);
  }
  return readings;
}

std::optional<double> hottest_of(const Trip& trip) {
  std::optional<double> hottest;
  for (const float value : trip.blocks.coolant) {
    if (const auto coolant = known(value)) hottest = std::max(hottest.value_or(*coolant), *coolant);
  }
  return hottest;
}

void measure_running(Judgement& judgement, const Trip& trip, const Deviations& deviations) {
  auto readings = warm_readings(trip.blocks);
  if (!readings.empty()) {
    std::sort(readings.begin(), readings.end());
    judgement.median_c = quantile_sorted(readings, 0.5);
    judgement.p05_c = quantile_sorted(readings, 0.05);
    judgement.p95_c = quantile_sorted(readings, 0.95);
  }
  double inside_s = 0.0;
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const bool inside = std::abs(deviations.from_centre(i)) <= deviations.limit(i); // false for NaN
    if (inside && trip.blocks.phase[i] == Phase::warm) inside_s += deviations.duration(i);
  }
  if (deviations.judged_s > 0.0) judgement.share_in_band = inside_s / deviations.judged_s;
}

} // namespace

Judgement judge(const Recording& recording, const Trip& trip, const NormalBand& band,
                const std::optional<VehicleProfile>& profile, const JudgeOptions& options) {
  Judgement judgement;
  const Deviations deviations = deviations_from(trip, band, options);
  judgement.judged_s = deviations.judged_s;
  judgement.beyond_seen_s = deviations.beyond_seen_s;
  measure_running(judgement, trip, deviations);
  judgement.hottest_c = hottest_of(trip);
  judgement.boiling = boiling_of(trip, profile, judgement.hottest_c);

  judgement.episodes = find_episodes(trip, band, deviations, options);
  for (Episode& episode : judgement.episodes) episode.explained_by = explain(episode, trip, band);
  const auto erratic = erratic_episodes(recording, trip, band);
  judgement.episodes.insert(judgement.episodes.end(), erratic.begin(), erratic.end());
  std::stable_sort(judgement.episodes.begin(), judgement.episodes.end(),
                   [](const Episode& a, const Episode& b) { return a.start_s < b.start_s; });

  const Observed observed = observe(judgement.episodes, deviations, band.origin);
  judgement.evidence = gather_evidence(observed, trip, band, judgement.episodes, deviations);
  judgement.causes = rank_causes(judgement.evidence);
  decide(judgement, observed, trip, band, options);
  judgement.regulation = regulation_criterion(trip, band, profile, judgement.condition);
  judgement.codes = standard_codes(judgement, trip, recording);
  judgement.limits = limits_of(trip, &band, judgement);
  return judgement;
}

Judgement judge_without_band(const Recording& recording, const Trip& trip,
                             const std::optional<VehicleProfile>& profile) {
  NormalBand nothing_known;
  nothing_known.origin = BandOrigin::trip;
  nothing_known.centre_c = hottest_of(trip).value_or(0.0);
  nothing_known.half_width_c = 1e3; // no reading lies outside: only the sensor can be judged
  Judgement judgement = judge(recording, trip, nothing_known, profile);
  judgement.share_in_band = std::nullopt;
  return judgement;
}

} // namespace coolband
