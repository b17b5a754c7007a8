// SPDX-License-Identifier: Apache-2.0
// What was observed, as evidence: each observation with its likelihood under every cause.
#include "diagnose/evidence.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "core/portable_math.hpp"
#include "diagnose/explain.hpp"
#include "diagnose/held_low.hpp"
#include "diagnose/likelihoods.hpp"
#include "diagnose/logged.hpp"
#include "diagnose/may_have_idled.hpp"
#include "diagnose/usual_dips.hpp"
#include "diagnose/where_off.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr double k_as_the_air_k = 3.0;
constexpr double k_stays_cold_s = 600.0;
constexpr double k_at_the_end_s = 60.0;
/// Gas passes within minutes, a valve holds for longer, s.
constexpr double k_turn_s = 300.0;
/// From so much running with the thermostat shut on, the lack of dips in it means something, s.
constexpr double k_shut_seen_s = 240.0;
/// Once or twice may be a cold slug from the radiator; from here on it is a habit.
constexpr std::size_t k_many_dips = 3;
constexpr double k_holds_for_s = 900.0;
constexpr double k_arrival_s = 180.0;
constexpr double k_since_arrival_share = 0.75;
/// A share of time explained by cold or idling above which nothing can be claimed of a thermostat.
constexpr double k_low_share = 0.3;
constexpr double k_lasting_share = 0.70;
constexpr double k_own_level_weight = 0.5;
constexpr double k_beside_circuit_weight = 0.2;
/// Of a warm-up, beside a circuit that counts for a third itself (`k_stranger_weight`).
constexpr double k_beside_usual_circuit_weight = 0.5;

/// Slight: a mean within one and a half times the entry threshold is a size that conditions which
/// nobody logged might yet account for. Lasting for most of the drive it is more, but only against
/// a learned band: a stated normal is a person's word, good to a couple of degrees.
Excursion excursion_of(double outside_s, double depth, double judged_s, BandOrigin origin) {
  if (outside_s <= 0.0) return Excursion::none;
  const bool slight = depth < 1.5;
  if (slight && origin != BandOrigin::learned) return Excursion::slight;
  if (outside_s >= k_lasting_share * judged_s) return Excursion::lasting;
  return slight ? Excursion::slight : Excursion::part;
}

std::string minutes(double seconds) { return format_duration(seconds); }

std::string times(std::size_t count) {
  return fmt::format("{} time{}", count, count == 1 ? "" : "s");
}

Evidence below_evidence(const Observed& o, const Trip& trip, const Deviations& deviations) {
  Likelihood row = likelihoods::k_below[static_cast<std::size_t>(o.below)];
  if (running_unknown(trip.blocks))
    row[static_cast<std::size_t>(Condition::normal)] =
        likelihoods::k_below_unknown_running[static_cast<std::size_t>(o.below)];
  if (o.below == Excursion::none) return {"never below the band without an explanation", row};
  return {fmt::format("below the band for {} of {} warm running, by {:.1f} K on average",
                      minutes(std::min(o.below_s, deviations.judged_s)),
                      minutes(deviations.judged_s), -o.below_mean_c),
          row};
}

Evidence above_evidence(const Observed& o, const Trip& trip, const Deviations& deviations) {
  Likelihood row = likelihoods::k_above[static_cast<std::size_t>(o.above)];
  if (!logged(trip.blocks.load) && !o.beyond_regulation)
    row[static_cast<std::size_t>(Condition::normal)] =
        likelihoods::k_above_unknown_load[static_cast<std::size_t>(o.above)];
  if (o.above == Excursion::none) return {"never above the band without an explanation", row};
  return {fmt::format("above the band for {} of {} warm running, by {:.1f} K on average",
                      minutes(std::min(o.above_s, deviations.judged_s)),
                      minutes(deviations.judged_s), o.above_mean_c),
          row};
}

/// The same observation believed in part only: likelihoods to the power of `weight`.
Evidence weighed(Evidence evidence, double weight) {
  for (double& likelihood : evidence.likelihood) likelihood = portable_pow(likelihood, weight);
  return evidence;
}

/// A valve that hangs open makes no engine run too hot, one that hangs shut none too cold: beside
/// a circuit, too, whose vehicle may have given way, that counts in full.
Evidence weighed_but_for(Condition valve, Excursion excursion, const Evidence& evidence,
                         double weight) {
  const auto c = static_cast<std::size_t>(valve);
  Evidence less = weighed(evidence, weight);
  if (excursion >= Excursion::part) less.likelihood[c] = evidence.likelihood[c];
  return less;
}

bool lasts_below(const Episode& e) {
  return e.direction == Direction::below && e.explained_by == Explanation::none &&
         e.end_s - e.start_s >= k_turn_s;
}

bool stays_cold(const std::vector<Episode>& episodes, const Blocks& blocks) {
  return std::any_of(episodes.begin(), episodes.end(), [&](const Episode& e) {
    return lasts_below(e) && e.end_s - e.start_s >= k_stays_cold_s &&
           e.end_s >= blocks.end_s.back() - k_at_the_end_s;
  });
}

void measure_hot(Observed& o, const Trip& trip, const Deviations& deviations) {
  std::vector<double> readings;
  std::optional<double> warm_from_s;
  std::optional<double> hot_from_s;
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const double deviation = deviations.from_centre(i);
    if (std::isnan(deviation)) continue;
    if (!warm_from_s) warm_from_s = trip.blocks.start_s[i];
    if (deviation <= deviations.limit(i)) continue;
    if (!hot_from_s) hot_from_s = trip.blocks.start_s[i];
    readings.push_back(static_cast<double>(trip.blocks.coolant[i]));
    o.hot_s += deviations.duration(i);
  }
  o.hot_from_arrival = hot_from_s && *hot_from_s - *warm_from_s <= k_arrival_s &&
                       o.hot_s >= k_since_arrival_share * deviations.judged_s;
  // A long climb holds a level, too, where nobody logged that it was one.
  if (o.hot_s < k_holds_for_s || !(o.load_logged || o.hot_from_arrival)) return;
  const double spread_k = quantile(readings, 0.95) - quantile(readings, 0.05);
  if (spread_k <= k_holds_within_k + trip.resolution_c) o.holds_high_k = spread_k;
}

/// Holding one level, only too high a one, is what a valve does that opens late, or a sensor that
/// reads too high; too little flow or air lets the level wander with the load.
void add_holds_high(std::vector<Evidence>& evidence, const Observed& o) {
  if (!o.holds_high_k) return;
  evidence.push_back({fmt::format("holds its level within {:.0f} K for {}, only too high",
                                  std::max(*o.holds_high_k, 1.0), minutes(o.hot_s)),
                      likelihoods::k_holds_high});
}

/// With the radiator in the circuit for good the level follows heat, road and weather; regulating
/// at too low a level is what a sensor shows that reads too low.
void add_holds_low(std::vector<Evidence>& evidence, const Trip& trip,
                   const Deviations& deviations) {
  const auto low = held_low(deviations);
  if (!low) return;
  if (low->spread_k <= k_holds_within_k + trip.resolution_c) {
    evidence.push_back({fmt::format("holds its level within {:.0f} K for {}, only too low",
                                    std::max(low->spread_k, 1.0), minutes(low->seconds)),
                        likelihoods::k_holds_low});
  } else {
    evidence.push_back({fmt::format("too cold for {}, and wanders over {:.0f} K meanwhile",
                                    minutes(low->seconds), low->spread_k),
                        likelihoods::k_wanders_low});
  }
}

/// Where neither load nor road speed is logged, how it fell and rose tells idling from a radiator
/// in the circuit.
void add_course_below(std::vector<Evidence>& evidence, const std::vector<Episode>& episodes,
                      const Trip& trip, const NormalBand& band) {
  bool idling = true;
  bool worked = false;
  for (const Episode& e : episodes) {
    if (e.direction != Direction::below || e.explained_by != Explanation::none) continue;
    idling = idling && may_have_idled(e, trip);
    worked = worked || slow_though_at_work(e, trip, band);
  }
  if (worked) {
    evidence.push_back({"rises at less than half the usual pace for minutes in which the reading "
                        "moves as no idling engine's does",
                        likelihoods::k_course_of_no_idling});
  } else if (idling) {
    evidence.push_back({"falls once and slowly, and rises again, as when idling or downhill",
                        likelihoods::k_course_of_idling});
  } else {
    evidence.push_back({"below the band it falls fast, or falls again after rising: idling with a "
                        "shut thermostat does neither",
                        likelihoods::k_course_of_no_idling});
  }
}

/// Where no load is logged, when it got hot tells a hill from what is the vehicle's own.
void add_when_hot(std::vector<Evidence>& evidence, const Observed& o,
                  const Deviations& deviations) {
  if (o.hot_from_arrival) {
    evidence.push_back({fmt::format("too hot as soon as it came to its level, and for {} of the {} "
                                    "since",
                                    minutes(o.hot_s), minutes(deviations.judged_s)),
                        likelihoods::k_hot_from_arrival});
  } else {
    evidence.push_back({"too hot only later in the drive, or for a part of it, as on a hill",
                        likelihoods::k_hot_later});
  }
}

void add_cold_start(std::vector<Evidence>& evidence, const std::optional<ColdSoak>& start) {
  if (!start || !start->ambient_c) return;
  const double warmer_k = start->coolant_c - *start->ambient_c;
  if (std::abs(warmer_k) <= k_as_the_air_k) {
    evidence.push_back({"when cold it read what the air had", likelihoods::k_start_as_the_air});
  } else if (warmer_k > 0.0) {
    evidence.push_back({fmt::format("at the start it read {:.0f} K above the air", warmer_k),
                        likelihoods::k_start_warmer});
  }
}

void add_opening(std::vector<Evidence>& evidence, const Observed& o, double weight) {
  const SeenOpening& seen = o.opening;
  if (seen.kind == Opening::unseen) return;
  const std::size_t kind = static_cast<std::size_t>(seen.kind) - 1;
  Likelihood row = likelihoods::k_opening[kind];
  double& by_sensor = row[static_cast<std::size_t>(Condition::sensor_fault)];
  if (o.above >= Excursion::part) by_sensor = likelihoods::k_opening_read_high[kind];
  if (o.below >= Excursion::part) by_sensor = likelihoods::k_opening_read_low[kind];
  const std::string where =
      seen.kind == Opening::usual
          ? "where it usually does"
          : fmt::format("{:.0f} K {} where it usually does", std::abs(seen.off_k),
                        seen.off_k > 0.0 ? "above" : "below");
  evidence.push_back(weighed(
      {fmt::format("the thermostat first opened near {:.0f} °C, {}", seen.opened_c, where), row},
      weight));
}

void add_warm_up_time(std::vector<Evidence>& evidence, const Observed& o) {
  const WarmUpTime& time = *o.warm_up;
  const auto& rows = time.driven ? likelihoods::k_warm_up_driven : likelihoods::k_warm_up_unknown;
  std::string text = fmt::format("the warm-up {} {}, the usual is {}",
                                 time.reached ? "took" : "was not over after", minutes(time.took_s),
                                 minutes(time.usual_s));
  if (time.worked)
    text += fmt::format("; for {} of it the reading moved as no idling engine's does",
                        minutes(time.worked->took_s));
  evidence.push_back(weighed({std::move(text), rows[static_cast<std::size_t>(time.length())]},
                             o.circuit_asked ? k_beside_usual_circuit_weight : 1.0));
}

/// Share of the trip's rows in which the sensor reads what only a broken circuit reads.
double off_scale_share(const Trip& trip) {
  double rows = 0.0;
  for (const SensorEvent& event : trip.sensor_events) {
    if (event.kind == Quality::off_scale)
      rows += static_cast<double>(event.last_row - event.first_row + 1);
  }
  return rows / static_cast<double>(trip.last_row - trip.first_row + 1);
}

constexpr std::size_t k_few_gaps = 3;
constexpr std::size_t k_many_gaps = 6;

Evidence reading_evidence(const Trip& trip, const std::vector<Episode>& episodes,
                          const ReadingFaults& reading, bool steadily_wrong) {
  if (off_scale_share(trip) > 0.5)
    return {"for most of the trip the reading is that of a broken circuit",
            likelihoods::k_reading_dead};
  const bool erratic = std::any_of(episodes.begin(), episodes.end(), [](const Episode& e) {
    return e.direction == Direction::erratic;
  });
  if (reading.steps.count > 0) {
    return {fmt::format("{} the reading steps to another level from one row to the next",
                        times(reading.steps.count)),
            likelihoods::k_reading_step};
  }
  if (!erratic && reading.frozen) {
    return {
        fmt::format("the reading does not move at all for {}", minutes(reading.frozen->length_s)),
        likelihoods::k_reading_frozen};
  }
  if (const auto& missing = trip.sanity.missing;
      !erratic && missing && missing->times >= k_few_gaps) {
    return {
        fmt::format("{} the reading is missing, for up to {}, while the rest of the log goes on",
                    times(missing->times), minutes(missing->longest_s)),
        likelihoods::k_reading_gaps[missing->times >= k_many_gaps ? 1 : 0]};
  }
  if (!erratic) {
    const Likelihood& clean =
        steadily_wrong ? likelihoods::k_reading_clean_and_wrong : likelihoods::k_reading_clean;
    return {"no reading moves faster than coolant can", clean};
  }
  const auto events = trip.sensor_events.size();
  const auto open =
      std::count_if(trip.sensor_events.begin(), trip.sensor_events.end(),
                    [](const SensorEvent& event) { return event.kind == Quality::off_scale; });
  const Likelihood& few = open >= 2 ? likelihoods::k_reading_open : likelihoods::k_reading_odd;
  return {fmt::format("{} the reading drops out or jumps faster than coolant can", times(events)),
          events >= 3 ? likelihoods::k_reading_wild : few};
}

/// Speaks for nothing.
constexpr Likelihood k_no_news = {1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0};

void add_dips(std::vector<Evidence>& evidence, const Dips& dips, const NormalBand& band) {
  if (!dips.seen) return;
  if (dips.warm > 0 && !more_than_usual(dips, band)) {
    evidence.push_back(
        {fmt::format("the reading dips {}, as it does in normal running", times(dips.warm)),
         k_no_news});
    return;
  }
  if (is_restless(band.traits)) return;
  if (dips.shut == 0 && dips.shut_s >= k_shut_seen_s)
    evidence.push_back(
        {"no sudden dip of the reading while it warmed up", likelihoods::k_dips_shut[0]});
  if (dips.shut > 0) {
    evidence.push_back({fmt::format("{} the reading dips and comes back within two minutes with "
                                    "the thermostat still shut, where nothing cold can reach it",
                                    times(dips.shut)),
                        likelihoods::k_dips_shut[dips.shut >= k_many_dips ? 2 : 1]});
  }
  if (dips.warm == 0) {
    evidence.push_back({"no sudden dip of the warm reading", likelihoods::k_dips[0]});
    return;
  }
  evidence.push_back({fmt::format("{} the reading dips and comes back within two minutes, faster "
                                  "than an engine's heat capacity allows",
                                  times(dips.warm)),
                      likelihoods::k_dips[dips.warm >= k_many_dips ? 2 : 1]});
}

} // namespace

bool tells_by_warm_up(const Observed& o) {
  if (o.trusted || !o.warm_up || (o.below > Excursion::none && !o.warm_up->reached)) return false;
  const bool low = o.below > Excursion::none || o.explained_low_s > 0.0;
  return o.warm_up->driven || !(low || o.circuit_asked);
}

bool hides_low_running(const Observed& observed, double judged_s) {
  return observed.explained_low_s > k_low_share * judged_s;
}

Observed observe(const std::vector<Episode>& episodes, const Trip& trip,
                 const Deviations& deviations, BandOrigin origin) {
  Observed o;
  o.load_logged = logged(trip.blocks.load);
  measure_hot(o, trip, deviations);
  double below_depth = 0.0;
  double above_depth = 0.0;
  for (const Episode& episode : episodes) {
    const double length_s = episode.logged_s;
    if (episode.direction == Direction::erratic) continue;
    if (episode.explained_by != Explanation::none) {
      if (hides_open_valve(episode)) o.explained_low_s += length_s;
      continue;
    }
    const double depth = std::abs(episode.mean_deviation_c) / episode.threshold_c;
    if (episode.direction == Direction::below) {
      o.below_s += length_s;
      o.below_mean_c += episode.mean_deviation_c * length_s;
      below_depth = std::max(below_depth, depth);
    } else {
      o.above_s += length_s;
      o.above_mean_c += episode.mean_deviation_c * length_s;
      above_depth = std::max(above_depth, depth);
    }
  }
  if (o.below_s > 0.0) o.below_mean_c /= o.below_s;
  if (o.above_s > 0.0) o.above_mean_c /= o.above_s;
  o.below = excursion_of(o.below_s, below_depth, deviations.judged_s, origin);
  o.above = excursion_of(o.above_s, above_depth, deviations.judged_s, origin);
  return o;
}

std::vector<Evidence> gather_evidence(const Observed& observed, const Trip& trip,
                                      const NormalBand& band, const std::vector<Episode>& episodes,
                                      const Deviations& deviations, const ReadingFaults& reading) {
  std::vector<Evidence> evidence;
  // Against its own level a trip shows swings, but not which side of them is right.
  const bool own_level =
      band.origin == BandOrigin::trip && trip.level_c && band.centre_c == *trip.level_c;
  const double weight = (own_level ? k_own_level_weight : 1.0) *
                        (observed.circuit_known ? k_beside_circuit_weight : 1.0);
  // Not to have been seen out of the band is no news where nothing was seen, or where a low
  // reading would have been explained, or was seen on the way up.
  const bool seen = deviations.judged_s > 0.0;
  const bool by_warm_up = tells_by_warm_up(observed);
  const bool warmed_up_slowly =
      by_warm_up && observed.warm_up->length() >= WarmUpLength::much_longer;
  if (observed.below > Excursion::none ||
      (seen && !warmed_up_slowly && !hides_low_running(observed, deviations.judged_s)))
    evidence.push_back(weighed_but_for(Condition::thermostat_stuck_closed, observed.below,
                                       below_evidence(observed, trip, deviations), weight));
  if (observed.above > Excursion::none || seen)
    evidence.push_back(weighed_but_for(Condition::thermostat_stuck_open, observed.above,
                                       above_evidence(observed, trip, deviations), weight));
  if (observed.below >= Excursion::part && observed.above >= Excursion::part &&
      std::any_of(episodes.begin(), episodes.end(), lasts_below))
    evidence.push_back(
        {"too cold and too hot in turn, for minutes at a time", likelihoods::k_in_turn});
  if (observed.below >= Excursion::part && observed.above == Excursion::none &&
      stays_cold(episodes, trip.blocks))
    evidence.push_back(
        {"cold for ten minutes and more, and still so at the end", likelihoods::k_stays_cold});
  if (observed.above >= Excursion::part) add_where_hot(evidence, trip, deviations);
  if (observed.below > Excursion::none && running_unknown(trip.blocks))
    add_course_below(evidence, episodes, trip, band);
  if (observed.above == Excursion::lasting && !logged(trip.blocks.load))
    add_when_hot(evidence, observed, deviations);
  if (observed.above >= Excursion::part && !observed.circuit_known)
    add_holds_high(evidence, observed);
  if (observed.below >= Excursion::part && !observed.circuit_known) {
    // How steadily this vehicle holds its level is known from its drives only.
    if (band.origin == BandOrigin::learned) add_holds_low(evidence, trip, deviations);
    const auto correlation = speed_correlation(trip, deviations);
    if (correlation && *correlation <= -0.4) {
      evidence.push_back(
          {"colder at road speed than in town or standing", likelihoods::k_cold_at_speed});
    }
  }
  // The vehicle's own circuit has seen both.
  if (!observed.trusted) add_opening(evidence, observed, weight);
  if (by_warm_up) add_warm_up_time(evidence, observed);
  if (!observed.trusted && observed.above >= Excursion::part)
    add_cold_start(evidence, trip.sanity.cold_soak);
  const bool one_sided = !observed.trusted && (observed.above == Excursion::lasting) !=
                                                  (observed.below == Excursion::lasting);
  evidence.push_back(
      reading_evidence(trip, episodes, reading, observed.circuit_known || one_sided));
  add_dips(evidence, reading.dips, band);
  return evidence;
}

} // namespace coolband
