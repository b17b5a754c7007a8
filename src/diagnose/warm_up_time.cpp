// SPDX-License-Identifier: Apache-2.0
#include "diagnose/warm_up_time.hpp"

#include "diagnose/explain.hpp"
#include "diagnose/logged.hpp"
#include "diagnose/steady_heat.hpp"
#include "segment/blocks_within.hpp"

#include <algorithm>
#include <cstddef>

namespace coolband {

namespace {

/// Less of a rise is over in minutes, and how warm the rest of the engine was is not known, K.
constexpr double k_least_rise_k = 25.0;
/// And more of it, and so long at work, before the course of the reading alone tells how long the
/// engine worked.
constexpr double k_least_rise_by_course_k = 40.0;
constexpr double k_least_work_s = 480.0;
/// What is no longer than this beside the usual needs no such look.
constexpr double k_worth_a_look = 1.5;

/// Three or four warm-ups may all have been quick ones: by bands of three drives 1.2 % of sound drives
/// were accused of that, by those of ten none (`coverage_bench`).
constexpr std::size_t k_drives_to_know = 5;

/// Colder by this than any start that the drives have shown, the heater takes more than they tell
/// of, and the usual time is not known, K (common practice, no source).
constexpr double k_colder_start_k = 10.0;

bool colder_than_learned(const WarmUp& warm_up, const NormalBand& band) {
  const auto learned_c = starts_c(band);
  return learned_c && warm_up.from_c < learned_c->low - k_colder_start_k;
}

bool switched_off(const Blocks& blocks, double from_s, double to_s) {
  const auto at = [&](double time_s) {
    return blocks.phase.begin() + static_cast<std::ptrdiff_t>(first_block_from(blocks, time_s));
  };
  return std::find(at(from_s), at(to_s), Phase::off) != at(to_s);
}

/// Nothing where it may have idled for all that its course shows.
std::optional<WarmUpTime::Worked> worked_part(const WarmUp& warm_up, const WarmUpTime& time,
                                              const Trip& trip, const NormalBand& band) {
  const double rise_k = band.centre_c - k_regulation_begins_k - warm_up.from_c;
  if (time.ratio() < k_worth_a_look || rise_k < k_least_rise_by_course_k) return std::nullopt;
  const AtWork work = at_work(trip, band, warm_up.start_s, warm_up.start_s + time.took_s);
  if (work.seconds < k_least_work_s) return std::nullopt;
  // One that never rose at work took longer than can be said: a kelvin's time is the measure then.
  return WarmUpTime::Worked{work.seconds, time.usual_s * std::max(work.rise_k, 1.0) / rise_k};
}

std::optional<WarmUpTime> time_of(const WarmUp& warm_up, double ends_s, const Trip& trip,
                                  const NormalBand& band) {
  const auto usual_s = expected_warm_up_s(band, warm_up);
  if (!usual_s || in_deep_cold(warm_up) || colder_than_learned(warm_up, band) ||
      band.centre_c - warm_up.from_c < k_least_rise_k)
    return std::nullopt;
  WarmUpTime time;
  time.usual_s = *usual_s;
  time.hardly_known = band.traits.warm_up->rate_k_per_min.drives < k_drives_to_know;
  time.reached = warm_up.reached_s.has_value();
  time.took_s = warm_up.reached_s.value_or(ends_s - warm_up.start_s);
  if (!time.reached && time.took_s < time.usual_s) return std::nullopt;
  const double until_s = warm_up.start_s + time.took_s;
  const auto idle = idle_share(trip.blocks, warm_up.start_s, until_s);
  if ((idle && *idle >= k_idle_share) || switched_off(trip.blocks, warm_up.start_s, until_s))
    return std::nullopt;
  time.driven = idle || logged(trip.blocks.load);
  if (running_unknown(trip.blocks)) {
    time.worked = worked_part(warm_up, time, trip, band);
    time.driven = time.worked.has_value();
  }
  return time;
}

double ends_s(const Trip& trip, std::size_t warm_up) {
  return warm_up + 1 == trip.warm_ups.size() ? trip.duration_s : trip.warm_ups[warm_up + 1].start_s;
}

} // namespace

WarmUpLength WarmUpTime::length() const {
  if (hardly_known && ratio() > 1.5) return WarmUpLength::longer;
  if (ratio() > 2.5) return WarmUpLength::very_long;
  if (ratio() > 2.0) return WarmUpLength::much_longer;
  return ratio() > 1.5 ? WarmUpLength::longer : WarmUpLength::usual;
}

std::optional<WarmUpTime> slowest_warm_up(const Trip& trip, const NormalBand& band) {
  std::optional<WarmUpTime> slowest;
  for (std::size_t i = 0; i < trip.warm_ups.size(); ++i) {
    const auto time = time_of(trip.warm_ups[i], ends_s(trip, i), trip, band);
    if (time && (!slowest || time->ratio() > slowest->ratio())) slowest = time;
  }
  return slowest;
}

bool slow_though_at_work(const Episode& episode, const Trip& trip, const NormalBand& band) {
  for (std::size_t i = 0; i < trip.warm_ups.size(); ++i) {
    const WarmUp& warm_up = trip.warm_ups[i];
    const double over_s =
        warm_up.reached_s ? warm_up.start_s + *warm_up.reached_s : ends_s(trip, i);
    if (episode.start_s < warm_up.start_s || episode.start_s >= over_s) continue;
    const auto time = time_of(warm_up, ends_s(trip, i), trip, band);
    return time && time->worked && time->length() >= WarmUpLength::much_longer;
  }
  return false;
}

} // namespace coolband
