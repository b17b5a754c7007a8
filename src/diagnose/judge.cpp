// SPDX-License-Identifier: Apache-2.0
// The judgement of one trip, step by step.
#include "coolband/diagnose/judgement.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "diagnose/boiling.hpp"
#include "diagnose/causes.hpp"
#include "diagnose/chance.hpp"
#include "diagnose/circuit_evidence.hpp"
#include "diagnose/circuit_knowledge.hpp"
#include "diagnose/circuit_trip.hpp"
#include "diagnose/deviations.hpp"
#include "diagnose/episodes.hpp"
#include "diagnose/evidence.hpp"
#include "diagnose/explain.hpp"
#include "diagnose/regulation_criterion.hpp"
#include "diagnose/runs_hot.hpp"
#include "diagnose/sound_course.hpp"
#include "diagnose/standard_codes.hpp"
#include "diagnose/usual_dips.hpp"
#include "diagnose/verdict.hpp"
#include "segment/blocks_within.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

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

/// The largest deviation first.
std::vector<BlockRange> ranges_of(const std::vector<Episode>& episodes, const Blocks& blocks) {
  std::vector<const Episode*> by_size;
  by_size.reserve(episodes.size());
  for (const Episode& episode : episodes) by_size.push_back(&episode);
  std::stable_sort(by_size.begin(), by_size.end(), [](const Episode* a, const Episode* b) {
    return std::abs(a->worst_deviation_c) > std::abs(b->worst_deviation_c);
  });
  std::vector<BlockRange> ranges;
  for (const Episode* episode : by_size) {
    ranges.push_back(
        {first_block_from(blocks, episode->start_s), first_block_from(blocks, episode->end_s)});
  }
  return ranges;
}

std::optional<SoundReading> sound_during(const Episode& episode, const Blocks& blocks,
                                         const SoundCourse& course) {
  double sum_c = 0.0;
  double sum_k = 0.0;
  double count = 0.0;
  const auto [first, past] = blocks_within(blocks, episode.start_s, episode.end_s);
  for (std::size_t i = first; i < past; ++i) {
    if (std::isnan(course.reading_c[i]) || std::isnan(blocks.coolant[i])) continue;
    sum_c += static_cast<double>(course.reading_c[i]);
    sum_k += static_cast<double>(course.error_k[i]);
    count += 1.0;
  }
  if (count == 0.0) return std::nullopt;
  return SoundReading{sum_c / count, sum_k / count};
}

void explain_all(std::vector<Episode>& episodes, const Trip& trip, const NormalBand& band,
                 const std::optional<SoundCourse>& course) {
  for (Episode& episode : episodes) {
    const auto sound = course ? sound_during(episode, trip.blocks, *course) : std::nullopt;
    if (sound) episode.sound_c = sound->mean_c;
    episode.explained_by = explain(episode, trip, band, sound);
  }
}

bool any_within(const std::vector<bool>& blocks, std::pair<std::size_t, std::size_t> range) {
  for (std::size_t i = range.first; i < std::min(range.second, blocks.size()); ++i) {
    if (blocks[i]) return true;
  }
  return false;
}

/// Load and weather may use up a cooling system's reserve; that is no explanation of it.
void leave_open(std::vector<Episode>& episodes, const Blocks& blocks,
                const std::vector<bool>& beyond) {
  for (Episode& episode : episodes) {
    if (episode.direction != Direction::above) continue;
    if (any_within(beyond, blocks_within(blocks, episode.start_s, episode.end_s)))
      episode.explained_by = Explanation::none;
  }
}

/// Nor do they explain what a sound vehicle's heat balance would not have shown, once that balance
/// speaks against a sound vehicle.
void leave_open_what_the_circuit_denies(std::vector<Episode>& episodes,
                                        const CircuitEvidence& circuit, const NormalBand& band) {
  const auto causes = rank_causes({}, circuit);
  if (causes.front().condition == Condition::normal) return;
  for (Episode& episode : episodes) {
    const bool denied = episode.sound_c && episode.observed_c &&
                        *episode.observed_c - *episode.sound_c > episode.threshold_c;
    if (episode.direction == Direction::above && denied && !beyond_experience(episode, band))
      episode.explained_by = Explanation::none;
  }
}

/// The sensor is itself again so long after it went wrong, s; a contact that opens and closes
/// leaves it as it was.
constexpr double k_before_event_s = 15.0;
constexpr double k_after_event_s = 60.0;
constexpr double k_after_open_circuit_s = 10.0;

/// Blocks whose readings are no coolant's.
std::vector<bool> unbelievable(const Recording& recording, const Trip& trip,
                               const ReadingFaults& reading) {
  std::vector<bool> blocks = reading.dips.inside;
  if (reading.frozen) {
    for (std::size_t i = reading.frozen->first; i <= reading.frozen->last; ++i) blocks[i] = true;
  }
  for (const SensorEvent& event : trip.sensor_events) {
    const bool open = event.kind == Quality::off_scale;
    const double from_s = recording.time_s[event.first_row] - trip.start_s - k_before_event_s;
    const double to_s = recording.time_s[event.last_row] - trip.start_s +
                        (open ? k_after_open_circuit_s : k_after_event_s);
    const auto& starts = trip.blocks.start_s;
    const auto first = std::lower_bound(starts.begin(), starts.end(), from_s);
    for (auto i = first; i != starts.end() && *i < to_s; ++i)
      blocks[static_cast<std::size_t>(i - starts.begin())] = true;
  }
  return blocks;
}

/// What the rules of the trade explain where the circuit has no experience is kept from it; so is
/// idling, of which it knows nothing where load, speed or air were not logged.
void leave_to_the_rules(std::vector<bool>& unused, const std::vector<Episode>& episodes,
                        const Blocks& blocks, const NormalBand& band, bool trusted) {
  constexpr double k_margin_s = 60.0;
  for (const Episode& episode : episodes) {
    const bool explained = episode.explained_by != Explanation::none;
    const bool unknown = beyond_experience(episode, band) || (!trusted && idles(episode));
    if (!explained || !unknown) continue;
    const auto [first, past] =
        blocks_within(blocks, episode.start_s - k_margin_s, episode.end_s + k_margin_s);
    for (std::size_t i = first; i < past; ++i) unused[i] = true;
  }
}

/// Steam carries heat away and coolant is lost: once it may have boiled, no law of the circuit
/// holds to the end of the trip.
void leave_out_boiling(std::vector<bool>& unused, const Blocks& blocks, const Boiling& boiling) {
  constexpr double k_nearly_k = 3.0;
  if (!boiling.point_c) return;
  const auto boils = [&](float coolant_c) {
    return static_cast<double>(coolant_c) > *boiling.point_c - k_nearly_k; // false for NaN
  };
  const auto first = std::find_if(blocks.coolant.begin(), blocks.coolant.end(), boils);
  std::fill(unused.begin() + (first - blocks.coolant.begin()), unused.end(), true);
}

/// A misfit this many times that of the normal drives (in squares) is looked into, whether or not
/// the band was left.
constexpr double k_odd_misfit = 0.8;

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
  const CircuitKnowledge knowledge = circuit_knowledge(band, profile);
  const auto telling = ranges_of(judgement.episodes, trip.blocks);
  // Only this vehicle's own circuit is held against every trip.
  const CircuitTrip circuit =
      knowledge.learned ? circuit_trip(trip.blocks, telling) : CircuitTrip{};
  std::optional<SoundCourse> course;
  const bool trusted = knowledge.learned && circuit.complete;
  const bool odd = trusted && sound_misfit_ratio(circuit, knowledge) > k_odd_misfit;
  if (trusted && (odd || !judgement.episodes.empty() || may_be_frozen(trip)))
    course = sound_course(circuit, knowledge, trip.blocks.size());
  explain_all(judgement.episodes, trip, band, course);
  const std::size_t by_chance = drop_chance(judgement.episodes, band, deviations);
  const std::vector<bool> beyond = beyond_regulation(trip, band);
  leave_open(judgement.episodes, trip.blocks, beyond);
  std::vector<Episode> beside; // the warm running, as the evidence weighs it
  if (course) {
    beside = find_episodes(trip, band, warm_up_deviations(trip, band, *course, options), options);
    explain_all(beside, trip, band, course);
  }
  const ReadingFaults reading{find_dips(trip, shut_below_c(band)),
                              frozen_stretch(trip, band, course), find_steps(recording, trip)};
  const auto erratic = erratic_episodes(recording, trip, band);
  beside.insert(beside.end(), erratic.begin(), erratic.end());

  CircuitEvidence by_circuit;
  const bool left_band = trusted && !(judgement.episodes.empty() && beside.empty());
  const bool follows = !is_restless(band.traits);
  if (follows && (odd || left_band || anything_unexplained(judgement.episodes) ||
                  anything_unexplained(beside))) {
    std::vector<bool> unused = unbelievable(recording, trip, reading);
    leave_to_the_rules(unused, judgement.episodes, trip.blocks, band, trusted);
    leave_out_boiling(unused, trip.blocks, judgement.boiling);
    const bool may_step = !reading.steps.seen || reading.steps.count > 0;
    by_circuit = circuit_evidence(circuit_trip(trip.blocks, telling, unused), knowledge, may_step);
    if (trusted) leave_open_what_the_circuit_denies(judgement.episodes, by_circuit, band);
  }
  Observed observed = observe(judgement.episodes, trip, deviations, band.origin);
  observed.trusted = trusted;
  observed.opening = seen_opening(trip, band);
  observed.warm_up = slowest_warm_up(trip, band);
  observed.fits_circuit = trusted && !odd;
  observed.circuit_s = scored_s(circuit.inputs);
  observed.beyond_regulation = std::find(beyond.begin(), beyond.end(), true) != beyond.end();
  judgement.episodes.insert(judgement.episodes.end(), beside.begin(), beside.end());
  std::stable_sort(judgement.episodes.begin(), judgement.episodes.end(),
                   [](const Episode& a, const Episode& b) { return a.start_s < b.start_s; });
  // A circuit of no vehicle in particular knows nothing of this one's level.
  observed.circuit_asked = !by_circuit.hypotheses.empty();
  observed.circuit_known = trusted && observed.circuit_asked;
  judgement.evidence =
      gather_evidence(observed, trip, band, judgement.episodes, deviations, reading);
  judgement.causes = rank_causes(judgement.evidence, by_circuit);
  judgement.hypotheses = std::move(by_circuit.hypotheses);
  decide(judgement, observed, trip, band, options);
  judgement.regulation = regulation_criterion(trip, band, profile, judgement.condition);
  judgement.codes = standard_codes(judgement, trip, recording);
  judgement.limits =
      limits_of(trip, &band, judgement,
                {warm_up_counts(observed), trusted || observed.opening.kind != Opening::unseen});
  if (by_chance > 0) judgement.limits.push_back(chance_words(by_chance));
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
