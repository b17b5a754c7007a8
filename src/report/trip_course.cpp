// SPDX-License-Identifier: Apache-2.0
// What a trip's picture shows beside the readings.
#include "report/trip_course.hpp"

#include "circuit/reduced_circuit.hpp"
#include "core/portable_math.hpp"
#include "diagnose/deviations.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

void add_band(TripCourse& course, const Trip& trip, const NormalBand& band) {
  const Deviations deviations = deviations_from(trip, band, {});
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const float centre = trip.blocks.coolant[i] - deviations.from_centre_c[i];
    course.centre_c.push_back(centre);
    course.lower_c.push_back(centre - deviations.limit_c[i]);
    course.upper_c.push_back(centre + deviations.limit_c[i]);
  }
}

/// The wax element follows the coolant with its lag; what it asks of the valve is the opening.
std::vector<float> opening_of(const Trip& trip, const FittedCircuit& circuit) {
  const Blocks& blocks = trip.blocks;
  const double opens_c = circuit[CircuitParameter::opens].value;
  const double span_k = circuit[CircuitParameter::span].value;
  const double lag_s = circuit[CircuitParameter::wax_lag].value;
  std::vector<float> opening(blocks.size(), std::nanf(""));
  double wax_c = std::nan("");
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const auto coolant = known(blocks.coolant[i]);
    if (!coolant) continue;
    const double step_s = i == 0 ? 0.0 : blocks.start_s[i] - blocks.start_s[i - 1];
    const bool begins = std::isnan(wax_c) || step_s > longest_bridge_s(trip);
    wax_c = begins ? *coolant : wax_c + (*coolant - wax_c) * (1.0 - portable_exp(-step_s / lag_s));
    opening[i] = static_cast<float>(100.0 * std::clamp((wax_c - opens_c) / span_k, 0.0, 1.0));
  }
  return opening;
}

} // namespace

double longest_bridge_s(const Trip& trip) {
  constexpr double k_steps = 3.0;
  constexpr double k_least_s = 30.0;
  return std::max(k_least_s, k_steps * trip.sample_period_s);
}

TripCourse course_of(const TripFinding& finding) {
  TripCourse course;
  if (!finding.band) return course;
  add_band(course, finding.trip, *finding.band);
  if (finding.band->circuit) course.opening_pct = opening_of(finding.trip, *finding.band->circuit);
  return course;
}

} // namespace coolband
