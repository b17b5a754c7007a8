// SPDX-License-Identifier: Apache-2.0
// From ranked causes to one verdict, or to the admission that there is none.
#include "diagnose/verdict.hpp"

#include "circuit/usual_coolant.hpp"
#include "diagnose/condition_groups.hpp"
#include "diagnose/episodes.hpp"
#include "diagnose/explain.hpp"
#include "diagnose/may_have_idled.hpp"
#include "diagnose/plain_name.hpp"
#include "diagnose/runs_hot.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

/// A cause is named from here on; below it the ranking is given instead. A trip that had only
/// itself to be judged by must be clearer.
constexpr double k_named = 0.5;
constexpr double k_named_by_itself = 0.8;
constexpr double k_named_hot = 0.75;
constexpr double k_clear_when_hot = 0.9;
constexpr double k_named_hot_by_level = 0.7;
constexpr double k_named_hot_elsewhere = 0.97;
/// The circuit's laws are no better than this between a valve and what else starves an engine of
/// cooling, nats; and still less so where it is hot only where a fan or a radiator fails.
constexpr double k_lead = 5.0;
constexpr double k_lead_elsewhere = 20.0;
/// What speaks so loud against a vehicle whose drives were sound came at once, as a valve fails; a
/// radiator is blocked and a pump wears out by and by. Nats.
constexpr double k_sudden = 30.0;
constexpr double k_crawling_kmh = 25.0;
constexpr double k_laden_pct = 60.0;
constexpr double k_named_little = 0.75;
constexpr double k_named_open = 0.6;
constexpr double k_named_air = 0.7;
constexpr double k_named_normal = 0.7;
/// Above the band and rising is a reason to stop within this distance of boiling, K: a fan that
/// comes in late at a standstill is not (common practice, no source).
constexpr double k_rising_watch_k = 20.0;

bool within_of_boiling(const Judgement& j, double distance_k) {
  return j.boiling.margin_c && *j.boiling.margin_c < distance_k;
}

bool near_boiling(const Judgement& j) { return within_of_boiling(j, k_boiling_near_k); }

/// The last three minutes were above the band and rose by 1 K/min or more.
bool rising_at_end(const Trip& trip, const Judgement& j) {
  if (j.episodes.empty() || trip.blocks.size() < 2) return false;
  if (!j.boiling.margin_c || *j.boiling.margin_c > k_rising_watch_k) return false;
  const Episode& last = j.episodes.back();
  const double end_s = trip.blocks.end_s.back();
  if (last.direction != Direction::above || last.explained_by != Explanation::none ||
      last.end_s < end_s - 30.0)
    return false;
  double then = std::nan("");
  double now = std::nan("");
  for (std::size_t i = 0; i < trip.blocks.size(); ++i) {
    const auto coolant = known(trip.blocks.coolant[i]);
    if (!coolant) continue;
    if (trip.blocks.end_s[i] <= end_s - 180.0) then = *coolant;
    now = *coolant;
  }
  return now - then >= 3.0;
}

double reliability(const NormalBand& band) {
  switch (band.origin) {
  case BandOrigin::learned: return 1.0 - 1.0 / (static_cast<double>(band.drive_count()) + 3.0);
  case BandOrigin::profile: return 0.8;
  case BandOrigin::trip: return 0.6;
  }
  return 0.6;
}

/// What makes an engine run hot by little differences of heat and air is named with more care than
/// what shows itself (a reading that jumps, a valve that lets the engine go cold).
double named_from(Condition condition) {
  switch (condition) {
  case Condition::fan_not_cooling:
  case Condition::radiator_restricted:
  case Condition::coolant_flow_low: return k_named_little;
  case Condition::thermostat_stuck_open: return k_named_open;
  case Condition::normal: return k_named_normal;
  case Condition::air_or_low_coolant: return k_named_air;
  default: return k_named;
  }
}

/// Of all the ways in which a thermostat fails.
double thermostat_probability(const std::vector<Cause>& causes) {
  double sum = 0.0;
  for (const Cause& cause : causes) {
    if (is_thermostat(cause.condition)) sum += cause.probability;
  }
  return sum;
}

/// Hot only when slow, or only under heavy load, as with a dead fan or a blocked radiator.
bool hot_where_others_fail(const std::vector<Episode>& episodes) {
  bool hot = false;
  for (const Episode& e : episodes) {
    if (e.direction == Direction::below && e.explained_by == Explanation::none) return false;
    if (e.direction != Direction::above || e.explained_by != Explanation::none) continue;
    hot = true;
    const bool slow = e.speed_kmh && *e.speed_kmh < k_crawling_kmh;
    const bool laden = e.load_pct && *e.load_pct > k_laden_pct;
    if (!slow && !laden) return false;
  }
  return hot;
}

/// Nothing but level, load and speed tells the parts apart where the vehicle's circuit is unknown;
/// what is claimed is then as little (`reliability`).
bool circuit_spoke(const Judgement& j) {
  return std::any_of(j.hypotheses.begin(), j.hypotheses.end(),
                     [](const Hypothesis& h) { return std::abs(h.log_evidence) > 1.0; });
}

/// What is at work for less than half of the trip has let it regulate at no other level.
constexpr double k_mostly = 0.5;

/// An account no further behind the best one says it as well, nats.
constexpr double k_as_well = 3.0;

/// Of the best account of a thermostat, nats.
struct ThermostatEvidence {
  double beyond_sound = -1e9;
  double lead = 0.0;      ///< before the accounts of fan, radiator, flow and gas
  bool regulates = false; ///< the best, or one that says it as well
  /// A valve that does not shut, before all that leave it shut in a warm-up as a sound one does.
  double passes_shut_lead = 0.0;
};
ThermostatEvidence thermostat_evidence(const Judgement& j) {
  ThermostatEvidence best;
  double others = 0.0;
  double regulating = -1e9;
  double passing = 0.0;
  double shutting = 0.0;
  for (const Hypothesis& h : j.hypotheses) {
    double& kind = h.passes_shut ? passing : shutting;
    kind = std::max(kind, h.log_evidence);
    const bool is_rival = h.condition == Condition::fan_not_cooling ||
                          h.condition == Condition::radiator_restricted ||
                          h.condition == Condition::coolant_flow_low ||
                          h.condition == Condition::air_or_low_coolant;
    if (is_thermostat(h.condition)) {
      best.beyond_sound = std::max(best.beyond_sound, h.log_evidence);
      if (h.regulates && h.active_share >= k_mostly)
        regulating = std::max(regulating, h.log_evidence);
    }
    if (is_rival) others = std::max(others, h.log_evidence);
  }
  best.lead = best.beyond_sound - others;
  best.regulates = regulating >= best.beyond_sound - k_as_well;
  best.passes_shut_lead = passing - shutting;
  return best;
}

/// A thermostat that would make an engine run hot shares its signs with radiator, pump, fan and
/// sensor, and a wrong part bought is a second breakdown: it must be this clear.
bool clear_of_other_parts(const Judgement& j, const Observed& observed) {
  const Cause& top = j.causes.front();
  if (!is_hot_thermostat(top.condition)) return true;
  // Nothing but a thermostat makes an engine run too cold and too hot in turn.
  const bool both_ways = observed.below >= Excursion::part && observed.above >= Excursion::part;
  if (both_ways && top.condition == Condition::thermostat_sticking) return true;
  const double usual = circuit_spoke(j) ? k_named_hot : k_named_hot_by_level;
  const bool elsewhere = hot_where_others_fail(j.episodes);
  if (circuit_spoke(j)) {
    const ThermostatEvidence evidence = thermostat_evidence(j);
    const bool sudden = evidence.beyond_sound >= k_sudden;
    // No fan, radiator or pump lets coolant by a shut valve.
    if (observed.trusted && evidence.passes_shut_lead >= k_lead)
      return thermostat_probability(j.causes) >= usual;
    if (elsewhere && evidence.lead < k_lead_elsewhere) return false;
    // Nothing but a valve lets an engine regulate at another level.
    const bool plain = sudden || evidence.regulates;
    if (observed.trusted && !plain && evidence.lead < k_lead) return false;
  }
  const double needed = elsewhere ? k_named_hot_elsewhere : usual;
  return thermostat_probability(j.causes) >= needed;
}

/// Of what is wrong with the cooling, not with the reading of it.
bool moves_heat(Condition condition) {
  return condition != Condition::normal && condition != Condition::sensor_fault &&
         condition != Condition::air_or_low_coolant;
}

/// So long that it names a part by itself.
bool very_long_warm_up(const Observed& o) {
  return tells_by_warm_up(o) && o.warm_up->driven && o.warm_up->length() == WarmUpLength::very_long;
}

/// A heat balance that misses by a kelvin is no reason to buy a part while no reading left normal;
/// unless it is as good as certain, nats.
constexpr double k_certain_by_circuit = 25.0;
bool left_normal(const Judgement& j, const Observed& o) {
  if (very_long_warm_up(o)) return true;
  if (!j.hypotheses.empty() && j.hypotheses.front().log_evidence >= k_certain_by_circuit)
    return true;
  return anything_unexplained(j.episodes, Direction::below) ||
         anything_unexplained(j.episodes, Direction::above);
}

/// Deep cold looks like a thermostat that hangs open: only one that is as good as certain is named.
constexpr double k_named_in_deep_cold = 0.95;

/// A thermostat or a fan that works shows as swings of one to two minutes (common practice, no
/// source). With less than two rows in each, swings turn into levels, and what is named must be
/// clearer; with none in most of them nothing is.
constexpr double k_sparse_s = 30.0;
constexpr double k_named_when_sparse = 0.75;
constexpr double k_longest_period_s = 120.0;

bool too_sparse(const Trip& trip) { return trip.sample_period_s > k_longest_period_s; }

/// Slow or standing, and not yet hotter than where a sound fan comes in: whether it would have come
/// in no one can say who does not know what the vehicle's own circuit makes of such air.
bool fan_may_wait(const Judgement& j, const Observed& o) {
  if (o.trusted || j.causes.front().condition != Condition::fan_not_cooling) return false;
  return std::none_of(j.episodes.begin(), j.episodes.end(), [](const Episode& e) {
    return e.direction == Direction::above && e.explained_by == Explanation::none &&
           e.worst_deviation_c > k_fan_comes_in_k;
  });
}

/// Probable enough to be named; and nothing is normal while an excursion is left without an
/// explanation: more than a slight one, or any where the trip had only itself to be judged by.
bool is_named(const Judgement& j, const Observed& observed, const Trip& trip,
              const NormalBand& band) {
  const Cause& top = j.causes.front();
  if (!clear_of_other_parts(j, observed)) return false;
  if (moves_heat(top.condition) && !left_normal(j, observed)) return false;
  if (fan_may_wait(j, observed)) return false;
  // Warm or on the way there; a valve that hangs open and one that sticks open are one part to be
  // changed.
  const bool cold =
      anything_unexplained(j.episodes, Direction::below) && observed.above == Excursion::none;
  const bool open = cold && top.condition == Condition::thermostat_stuck_open;
  const double probability = open ? thermostat_probability(j.causes) : top.probability;
  if (probability < named_from(top.condition)) return false;
  if (trip.sample_period_s > k_sparse_s && probability < k_named_when_sparse) return false;
  if (top.condition == Condition::thermostat_stuck_open && in_deep_cold(trip) &&
      probability < k_named_in_deep_cold)
    return false;
  const bool by_itself = band.origin == BandOrigin::trip;
  if (by_itself && top.probability < k_named_by_itself) return false;
  const Excursion allowed = by_itself ? Excursion::none : Excursion::slight;
  const bool excursion = observed.below > allowed || observed.above > allowed;
  return top.condition != Condition::normal || !excursion;
}

/// Everything that starves an engine of coolant looks alike once it boils (thermostat shut, pump,
/// level, radiator): such a cause must be clearer then to be named.
bool clear_when_hot(const Judgement& j, const Cause& top) {
  if (j.condition == Condition::undetermined || j.condition == Condition::normal) return false;
  // A valve that hangs shut and one that sticks there are one part to be changed.
  const double probability =
      is_hot_thermostat(top.condition) ? thermostat_probability(j.causes) : top.probability;
  return j.condition == Condition::sensor_fault || probability >= k_clear_when_hot;
}

/// Shown by engine speed, road speed or load; else by coolant that warms up as only an engine warms
/// it. A vehicle that stands may read any temperature.
bool engine_ran(const Blocks& blocks) {
  constexpr double k_warmed_by_c = 10.0;
  double coldest_c = 1e9;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.rpm[i] > 0.0F || blocks.speed[i] > 0.0F || blocks.load[i] > 0.0F) return true;
    const auto coolant = known(blocks.coolant[i]);
    if (!coolant) continue;
    coldest_c = std::min(coldest_c, *coolant);
    if (*coolant >= coldest_c + k_warmed_by_c) return true;
  }
  return false;
}

/// A short drive shows a thermostat by its warm-up, if nothing else; less than this it does not, s.
constexpr double k_least_circuit_s = 480.0;
/// What is claimed then is claimed with less confidence.
constexpr double k_warm_up_share = 0.75;

/// As this vehicle's heat balance foresees it, or as it can only be with something wrong; or by how
/// long it took.
bool judged_by_warm_up(const Judgement& j, const Observed& o) {
  const bool found = j.causes.front().condition != Condition::normal;
  if (found && very_long_warm_up(o)) return true;
  return o.trusted && o.circuit_s >= k_least_circuit_s &&
         (found ? circuit_spoke(j) : o.fits_circuit);
}

bool arrived_at_its_level(const Trip& trip) {
  return std::any_of(trip.warm_ups.begin(), trip.warm_ups.end(),
                     [](const WarmUp& warm_up) { return warm_up.reached_s.has_value(); });
}

/// No cold is among what explains low readings.
bool idling_alone(const std::vector<Episode>& episodes) {
  const auto cold = [](const Episode& e) { return e.explained_by == Explanation::cold_weather; };
  return std::any_of(episodes.begin(), episodes.end(), idles) &&
         std::none_of(episodes.begin(), episodes.end(), cold);
}

/// Why nothing can be said, or empty.
std::string cannot_judge(const Judgement& j, const Observed& o, const Trip& trip,
                         const NormalBand& band, const JudgeOptions& options) {
  const bool sensor = j.causes.front().condition == Condition::sensor_fault;
  if (!sensor && o.below > Excursion::none && !engine_ran(trip.blocks)) {
    return "low, but nothing in the log shows that the engine ran: no engine speed, road speed or "
           "load, and the coolant never warms up";
  }
  if (j.judged_s < options.least_judged_s && !sensor && !judged_by_warm_up(j, o)) {
    return fmt::format("only {} of warm running: {} are needed for a judgement",
                       format_duration(j.judged_s), format_duration(options.least_judged_s));
  }
  if (too_sparse(trip)) {
    return fmt::format("the rows are {} apart: what happens between them cannot be told; log a row "
                       "at least every 10 s",
                       format_duration(trip.sample_period_s));
  }
  const bool found = j.causes.front().condition != Condition::normal;
  // A warm-up that never got there shows no more, however well the circuit follows it.
  const bool never_warm =
      j.judged_s < options.least_judged_s && in_deep_cold(trip) && !arrived_at_its_level(trip);
  if ((hides_low_running(o, j.judged_s) || never_warm) && !found) {
    return fmt::format(
        "{} explains the low reading, but it would hide a thermostat that hangs open "
        "just as well",
        idling_alone(j.episodes) ? "idling or standing" : "the cold");
  }
  if (band.origin == BandOrigin::trip && !found && j.median_c &&
      (*j.median_c < k_usual_levels_c.low || *j.median_c > k_usual_levels_c.high)) {
    return fmt::format(
        "steady at {:.0f} °C, but whether that is this vehicle's normal is not known: "
        "give --band or --profile",
        *j.median_c);
  }
  return {};
}

/// Where a trip ran, or how far it went where its middle lies within the band. What is low for its
/// load may lie above the normal, and what is high below it.
std::string ran_at(const Judgement& j, const NormalBand& band, Direction direction,
                   const std::string& holds) {
  if (!j.median_c) return "ran at an unknown level where " + holds;
  const bool below = direction == Direction::below;
  const double side = below ? -1.0 : 1.0;
  const Episode* farthest = nullptr;
  for (const Episode& e : j.episodes) {
    if (e.direction != direction || e.explained_by != Explanation::none) continue;
    if (farthest == nullptr || side * e.extreme_c > side * farthest->extreme_c) farthest = &e;
  }
  if (side * (*j.median_c - band.centre_c) > band.half_width_c || farthest == nullptr)
    return fmt::format("ran at {:.1f} °C where {}", *j.median_c, holds);
  if (side * (farthest->extreme_c - band.centre_c) > 0.0)
    return fmt::format("at times {} {:.1f} °C where {}", below ? "down to" : "up to",
                       farthest->extreme_c, holds);
  return fmt::format("at times {:.1f} K {} than it runs at such a load and in such weather ({})",
                     std::abs(farthest->worst_deviation_c), below ? "colder" : "hotter", holds);
}

std::string sensor_headline(const Trip& trip) {
  const bool odd = !trip.sensor_events.empty() || trip.sanity.frozen;
  return fmt::format("{}: sensor or wiring is first suspect",
                     trip.sanity.missing && !odd ? "the reading drops out again and again"
                                                 : "the reading cannot be coolant");
}

/// What a valve that hangs open did: ran too low, or only came up too slowly.
std::string hangs_open(const Judgement& j, const Observed& o, const NormalBand& band,
                       const std::string& holds) {
  if (anything_unexplained(j.episodes, Direction::below) || !o.warm_up || !warm_up_counts(o) ||
      o.warm_up->length() == WarmUpLength::usual)
    return ran_at(j, band, Direction::below, holds);
  return fmt::format("{} {} of warming up where this vehicle takes {}",
                     o.warm_up->reached ? "regulated after" : "did not regulate within",
                     format_duration(o.warm_up->took_s), format_duration(o.warm_up->usual_s));
}

std::string headline_of(const Judgement& j, const Observed& o, const Trip& trip,
                        const NormalBand& band) {
  const bool by_itself = band.origin == BandOrigin::trip;
  const std::string holds = by_itself
                                ? fmt::format("it should hold about {:.1f} °C", band.centre_c)
                                : fmt::format("this vehicle's normal is {:.1f} °C", band.centre_c);
  const std::string at = j.median_c ? fmt::format("{:.1f} °C", *j.median_c) : "unknown";
  switch (j.condition) {
  case Condition::normal:
    if (!j.median_c) return "normal as far as it went: it warmed up as this vehicle does";
    if (by_itself)
      return fmt::format(
          "nothing stands out: steady at about {}, but this vehicle's normal is not known", at);
    return fmt::format("normal: ran at {} where {}", at, holds);
  case Condition::thermostat_stuck_open:
    return "the thermostat hangs open: " + hangs_open(j, o, band, holds);
  case Condition::thermostat_stuck_closed:
    return "the thermostat hangs shut: " + ran_at(j, band, Direction::above, holds);
  case Condition::thermostat_sticking:
    return fmt::format("the thermostat sticks: mostly {:.1f} to {:.1f} °C where {}",
                       j.p05_c.value_or(0.0), j.p95_c.value_or(0.0), holds);
  case Condition::fan_not_cooling:
    return fmt::format("hot when there is no wind from driving: the fan is first suspect ({})",
                       holds);
  case Condition::radiator_restricted:
    return fmt::format("hot under load: the radiator is first suspect ({})", holds);
  case Condition::coolant_flow_low:
    return fmt::format("hot at any speed: coolant flow is first suspect ({})", holds);
  case Condition::air_or_low_coolant:
    return fmt::format("unsteady and hot: air or low coolant is first suspect ({})", holds);
  case Condition::sensor_fault: return sensor_headline(trip);
  case Condition::overheating:
    return fmt::format("runs too hot, cause not separable: up to {:.1f} °C ({})",
                       j.hottest_c.value_or(0.0), holds);
  case Condition::undetermined:
    return "undetermined: " +
           (j.reasons.empty() ? std::string("no cause stands out") : j.reasons.front());
  }
  return {};
}

Action action_of(const Judgement& j, bool rising) {
  if (near_boiling(j) || rising) return Action::stop;
  if (j.condition == Condition::overheating && within_of_boiling(j, k_rising_watch_k))
    return Action::stop;
  // With the coolant low the reading may be that of gas while the engine overheats.
  const bool ran_hot = anything_unexplained(j.episodes, Direction::above);
  if (j.condition == Condition::air_or_low_coolant && ran_hot) return Action::stop;
  const bool close = within_of_boiling(j, k_boiling_watch_k);
  const bool fault = j.condition != Condition::normal && j.condition != Condition::undetermined;
  if (fault || close || (j.condition == Condition::undetermined && ran_hot)) return Action::service;
  const bool odd = anything_unexplained(j.episodes);
  return odd || j.condition == Condition::undetermined ? Action::monitor : Action::none;
}

/// What is known of weather that nobody logged.
std::string cold_start_words(const Episode& episode, const Trip& trip) {
  const auto start_c = coldest_start_c(trip);
  if (!start_c) return {};
  return fmt::format(" ({:.0f} °C at the start{})", *start_c,
                     may_have_idled(episode, trip) ? ", and it may have idled" : "");
}

void add_episode_reasons(Judgement& j, const Trip& trip) {
  for (const Episode& episode : j.episodes) {
    if (episode.explained_by == Explanation::none) continue;
    std::string text =
        fmt::format("{:.1f} K {} for {} is explained by {}", std::abs(episode.worst_deviation_c),
                    name_of(episode.direction), format_duration(episode.end_s - episode.start_s),
                    name_of(episode.explained_by));
    if (episode.explained_by == Explanation::heavy_load && episode.load_pct)
      text += fmt::format(" (mean load {:.0f} %)", *episode.load_pct);
    const bool weather = episode.explained_by == Explanation::cold_weather ||
                         episode.explained_by == Explanation::hot_weather;
    if (weather && episode.ambient_c)
      text += fmt::format(" (outside {:.0f} °C)", *episode.ambient_c);
    if (episode.explained_by == Explanation::cold_weather && !episode.ambient_c)
      text += cold_start_words(episode, trip);
    j.reasons.push_back(std::move(text));
  }
}

/// A hill, a blocked core, a weak pump and a valve that stays shut differ in what the load does:
/// where none is logged, only a level that is held, too high, and a first opening that comes too
/// late are a valve's (or a sensor's) own.
bool hot_of_unknown_cause(const Judgement& j, const Observed& o) {
  return j.condition == Condition::thermostat_stuck_closed && !o.load_logged && !o.trusted &&
         !o.holds_high_k && o.opening.kind != Opening::far_above;
}

/// Why there is no name although one cause leads.
void name_suspect(Judgement& j) {
  const Cause& top = j.causes.front();
  j.reasons.insert(j.reasons.begin(),
                   fmt::format("first suspect is {} ({:.0f} %), but it runs hot as it would with "
                               "another part of the cooling failing: a check separates them",
                               suspect_name(top.condition), 100.0 * top.probability));
}

void name_waiting_fan(Judgement& j) {
  j.reasons.insert(j.reasons.begin(),
                   fmt::format("the fan is first suspect, but it ran no farther above its level "
                               "than where a sound one comes in (up to {:.0f} K)",
                               k_fan_comes_in_k));
}

void name_rivals(Judgement& j, const Observed& o) {
  const Cause& top = j.causes.front();
  if (is_hot_thermostat(top.condition) && top.probability >= k_named_hot) return name_suspect(j);
  if (fan_may_wait(j, o) && top.probability >= named_from(top.condition))
    return name_waiting_fan(j);
  std::string text = "no cause stands out:";
  for (std::size_t i = 0; i < 3 && i < j.causes.size(); ++i) {
    text += fmt::format("{} {} {:.0f} %", i == 0 ? "" : ",", suspect_name(j.causes[i].condition),
                        100.0 * j.causes[i].probability);
  }
  j.reasons.insert(j.reasons.begin(), std::move(text));
}

/// An episode is put down to the verdict where that is a cause of its direction.
void attribute_episodes(Judgement& j) {
  for (Episode& episode : j.episodes) {
    if (episode.explained_by != Explanation::none) {
      episode.cause = Condition::normal;
      episode.confidence = j.confidence;
      continue;
    }
    if (episode.direction == Direction::erratic) {
      const auto sensor = std::find_if(j.causes.begin(), j.causes.end(), [](const Cause& c) {
        return c.condition == Condition::sensor_fault;
      });
      episode.cause = Condition::sensor_fault;
      episode.confidence = sensor->probability;
      continue;
    }
    const bool named = j.condition != Condition::normal;
    episode.cause = named ? j.condition : Condition::undetermined;
    episode.confidence = named ? j.confidence : 0.0;
  }
}

} // namespace

void decide(Judgement& j, const Observed& observed, const Trip& trip, const NormalBand& band,
            const JudgeOptions& options) {
  const Cause& top = j.causes.front();
  const bool rising = rising_at_end(trip, j);
  const std::string reason = cannot_judge(j, observed, trip, band, options);
  j.confidence = top.probability * reliability(band);
  j.condition = top.condition;
  j.reasons = top.evidence_for;
  if (j.judged_s < options.least_judged_s && judged_by_warm_up(j, observed)) {
    j.confidence *= k_warm_up_share;
    j.reasons.insert(j.reasons.begin(),
                     top.condition == Condition::normal
                         ? "hardly ran warm, but warmed up as this vehicle does"
                         : "hardly ran warm, and did not warm up as this vehicle does");
  }
  if (!reason.empty()) {
    j.condition = Condition::undetermined;
    j.reasons.assign(1, reason);
    j.confidence = 0.0;
  } else if (!is_named(j, observed, trip, band)) {
    j.condition = Condition::undetermined;
    j.confidence = 0.0;
    name_rivals(j, observed);
  }
  // Between rows so far apart a climb passes unseen, and what it explains.
  const bool sparse = too_sparse(trip);
  const bool hot = observed.beyond_regulation ||
                   (observed.trusted && !sparse && observed.above > Excursion::none &&
                    observed.below == Excursion::none && hot_for_any_cause(j.causes));
  const bool open = j.condition == Condition::undetermined || j.condition == Condition::normal;
  const bool unknown = !sparse && hot_of_unknown_cause(j, observed);
  if (unknown || (hot && open) || ((near_boiling(j) || rising) && !clear_when_hot(j, top))) {
    if (j.condition != Condition::undetermined) name_rivals(j, observed);
    j.condition = Condition::overheating;
    j.confidence = std::max(j.confidence, 0.5);
  }
  if (near_boiling(j)) {
    j.reasons.push_back(fmt::format("the hottest reading, {:.1f} °C, lies {:.1f} K {} boiling",
                                    *j.hottest_c, std::abs(*j.boiling.margin_c),
                                    *j.boiling.margin_c < 0.0 ? "above" : "below"));
  }
  if (!near_boiling(j) && within_of_boiling(j, k_boiling_watch_k)) {
    j.reasons.push_back(
        fmt::format("the hottest reading, {:.1f} °C, leaves only {:.1f} K to boiling", *j.hottest_c,
                    *j.boiling.margin_c));
  }
  if (j.condition == Condition::air_or_low_coolant) {
    j.reasons.emplace_back("dangerous: where the sensor stands in gas a falling reading is no "
                           "recovery, the engine may be hotter than it shows");
  }
  if (rising) j.reasons.emplace_back("above the band and still rising when the log ends");
  add_episode_reasons(j, trip);
  attribute_episodes(j);
  j.action = action_of(j, rising);
  j.headline = headline_of(j, observed, trip, band);
}

} // namespace coolband
