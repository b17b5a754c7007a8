// SPDX-License-Identifier: Apache-2.0
// A free run, and as many more as there are things that are not known of the vehicle.
#include "diagnose/sound_course.hpp"

#include "circuit/reduced_circuit.hpp"
#include "diagnose/trip_fit.hpp"

#include <cmath>
#include <limits>

namespace coolband {

namespace {

using Vector = Eigen::VectorXd;

} // namespace

SoundCourse sound_course(const CircuitTrip& trip, const CircuitKnowledge& knowledge,
                         std::size_t blocks) {
  SoundCourse course;
  course.reading_c.assign(blocks, std::nanf(""));
  course.error_k.assign(blocks, std::nanf(""));
  const Vehicles vehicles(knowledge);
  constexpr Observer free_running{std::numeric_limits<double>::infinity(),
                                  std::numeric_limits<double>::infinity()};
  const Vector known = Vector::Zero(k_vehicle_dimensions);
  const ReducedFault sound;
  // The last dimension is the wind.
  Vector windy = known;
  windy(k_vehicle_dimensions - 1) = 1.0;
  const std::vector<double> air = air_in_wind(trip.inputs, windy);
  std::vector<ReducedCase> cases{{vehicles.at(known), &sound, trip.inputs.air}};
  for (Eigen::Index p = 0; p < k_vehicle_dimensions; ++p) {
    Vector moved = known;
    moved(p) = 1.0;
    cases.push_back(
        {vehicles.at(moved), &sound, p == k_vehicle_dimensions - 1 ? air : trip.inputs.air});
  }
  const auto courses = predict_readings(trip.inputs, cases, free_running);
  const std::vector<double>& centre = courses.front();
  std::vector<double> variance(centre.size(), knowledge.misfit_k * knowledge.misfit_k);
  for (std::size_t k = 1; k < courses.size(); ++k) {
    for (std::size_t i = 0; i < centre.size(); ++i)
      variance[i] += (courses[k][i] - centre[i]) * (courses[k][i] - centre[i]);
  }
  for (std::size_t i = 0; i < centre.size(); ++i) {
    course.reading_c[trip.block[i]] = static_cast<float>(centre[i]);
    course.error_k[trip.block[i]] = static_cast<float>(std::sqrt(variance[i]));
  }
  return course;
}

double sound_misfit_ratio(const CircuitTrip& trip, const CircuitKnowledge& knowledge) {
  if (trip.inputs.scored.empty()) return 1.0;
  const TripFit fit(trip, knowledge);
  const Vector deviations = fit.deviations_by({}, Vector::Zero(k_vehicle_dimensions));
  return deviations.squaredNorm() / static_cast<double>(deviations.size()) /
         (knowledge.misfit_k * knowledge.misfit_k);
}

} // namespace coolband
