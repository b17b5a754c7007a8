// SPDX-License-Identifier: Apache-2.0
// What a trip's picture shows beside the readings: the band as it moves with the conditions, and
// how far a sound thermostat would stand open.
#pragma once

#include "coolband/analyse.hpp"

#include <vector>

namespace coolband {

/// One entry a block of the trip in every column that is not empty.
struct TripCourse {
  /// °C, the limits that the trip was judged by; NaN where a block is not judged (warming up,
  /// engine off, no reading). Empty where there is no band.
  std::vector<float> lower_c;
  std::vector<float> centre_c;
  std::vector<float> upper_c;
  /// %, of the stroke, at the coolant's reading by the vehicle's own circuit with nothing wrong.
  /// Empty where no circuit was learned.
  std::vector<float> opening_pct;
};

TripCourse course_of(const TripFinding& finding);

/// A hole in the log longer than this is not drawn over, s.
double longest_bridge_s(const Trip& trip);

} // namespace coolband
