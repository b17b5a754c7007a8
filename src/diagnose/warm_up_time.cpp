// SPDX-License-Identifier: Apache-2.0
#include "diagnose/warm_up_time.hpp"

#include "diagnose/explain.hpp"
#include "diagnose/logged.hpp"
#include "segment/blocks_within.hpp"

#include <algorithm>
#include <cstddef>

namespace coolband {

namespace {

/// Less of a rise is over in minutes, and how warm the rest of the engine was is not known, K.
constexpr double k_least_rise_k = 25.0;

bool switched_off(const Blocks& blocks, double from_s, double to_s) {
  const auto at = [&](double time_s) {
    return blocks.phase.begin() + static_cast<std::ptrdiff_t>(first_block_from(blocks, time_s));
  };
  return std::find(at(from_s), at(to_s), Phase::off) != at(to_s);
}

std::optional<WarmUpTime> time_of(const WarmUp& warm_up, double ends_s, const Trip& trip,
                                  const NormalBand& band) {
  const auto usual_s = expected_warm_up_s(band, warm_up);
  if (!usual_s || in_deep_cold(warm_up) || band.centre_c - warm_up.from_c < k_least_rise_k)
    return std::nullopt;
  WarmUpTime time;
  time.usual_s = *usual_s;
  time.reached = warm_up.reached_s.has_value();
  time.took_s = warm_up.reached_s.value_or(ends_s - warm_up.start_s);
  if (!time.reached && time.took_s < time.usual_s) return std::nullopt;
  const double until_s = warm_up.start_s + time.took_s;
  const auto idle = idle_share(trip.blocks, warm_up.start_s, until_s);
  if ((idle && *idle >= k_idle_share) || switched_off(trip.blocks, warm_up.start_s, until_s))
    return std::nullopt;
  time.driven = idle || logged(trip.blocks.load);
  return time;
}

} // namespace

WarmUpLength WarmUpTime::length() const {
  if (ratio() > 2.5) return WarmUpLength::very_long;
  if (ratio() > 2.0) return WarmUpLength::much_longer;
  return ratio() > 1.5 ? WarmUpLength::longer : WarmUpLength::usual;
}

std::optional<WarmUpTime> slowest_warm_up(const Trip& trip, const NormalBand& band) {
  std::optional<WarmUpTime> slowest;
  for (std::size_t i = 0; i < trip.warm_ups.size(); ++i) {
    const bool last = i + 1 == trip.warm_ups.size();
    const double ends_s = last ? trip.duration_s : trip.warm_ups[i + 1].start_s;
    const auto time = time_of(trip.warm_ups[i], ends_s, trip, band);
    if (time && (!slowest || time->ratio() > slowest->ratio())) slowest = time;
  }
  return slowest;
}

} // namespace coolband
