// SPDX-License-Identifier: Apache-2.0
// Under what conditions a fault showed, and whether another drive met them. A drive that did not
// says nothing of the fault, however clean it is.
#pragma once

#include "coolband/analyse.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// The stretch of one drive in which its fault showed most. What the log did not have is not known.
struct Situation {
  Direction direction = Direction::below;
  std::optional<double> load_pct;  ///< lagged, mean
  std::optional<double> ambient_c; ///< mean
  std::optional<double> speed_kmh; ///< mean
  double begins_s = 0.0;           ///< s since the start of the drive
  double length_s = 0.0;
  double deviation_k = 0.0;  ///< K off what the band expects, mean, without sign; 0: not known
  double half_width_k = 0.0; ///< of the band that it was off
};

/// The one in which a fault shows most, of the episodes that nothing explains; none without one.
const Episode* heaviest_episode(const std::vector<Episode>& episodes);
Situation situation_in(const Episode& episode, double half_width_k);

/// None where the drive shows no fault.
std::optional<Situation> situation_of(const TripFinding& finding);

/// For a fault that is known by other means: where the drive was furthest off on its side,
/// explained or not; else what is usual for it.
Situation situation_for(Condition fault, const TripFinding& finding);

/// What of a situation matters to a fault: one that comes and goes may show in any weather and
/// driving.
Situation shown_by(Condition fault, Situation situation);

/// Whether a fault can show in such a situation: a fan that does not cool shows in no cold reading.
bool fits(const Situation& situation, Condition fault);

/// Why the trip could not have shown the fault even if it was still there; none if it could. Its
/// conditions must be as telling as those of one of the situations: for a cold reading as cold, as
/// light a load and as fast; for a hot one as warm, as heavy a load, and slow where it was slow;
/// for as long on end, and as long after the start. Weather that either side does not tell is no
/// match, but for a reading that comes and goes. A reading that was far off may be looked for in
/// other weather: air that is warmer by w lifts an engine that nothing regulates by w at most.
/// Needs a situation.
std::optional<std::string> unable_to_show(const Trip& trip,
                                          const std::vector<Situation>& situations);

/// "a drive of 25 min or more at 19 °C outside or colder, 5 min of it on end at 55 % load or less
/// once warm": what takes least to show the fault. Needs a situation.
std::string telling_drive(const std::vector<Situation>& situations);

/// Median outside temperature of a trip, °C.
std::optional<double> usual_ambient_c(const Trip& trip);
/// s with the engine running.
double running_s(const Trip& trip);

} // namespace coolband
