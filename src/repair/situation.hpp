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
};

/// None where the drive shows no fault.
std::optional<Situation> situation_of(const TripFinding& finding);

/// Why the trip could not have shown the fault even if it was still there; none if it could. Its
/// conditions must be as telling as those of one of the situations: for a cold reading as cold, as
/// light a load and as fast; for a hot one as warm, as heavy a load, and slow where it was slow;
/// for as long, and as long after the start. Needs a situation.
std::optional<std::string> unable_to_show(const Trip& trip,
                                          const std::vector<Situation>& situations);

/// "a drive of 25 min or more at 19 °C outside or colder, 5 min of it at 55 % load or less": what
/// takes least to show the fault. Needs a situation.
std::string telling_drive(const std::vector<Situation>& situations);

/// Median outside temperature of a trip, °C.
std::optional<double> usual_ambient_c(const Trip& trip);
/// s with the engine running.
double running_s(const Trip& trip);

} // namespace coolband
