// SPDX-License-Identifier: Apache-2.0
// What a sound vehicle would have read on a trip, by its thermal circuit.
#pragma once

#include "diagnose/circuit_knowledge.hpp"
#include "diagnose/circuit_trip.hpp"

#include <cstddef>
#include <vector>

namespace coolband {

/// One entry a block of the trip, NaN where the circuit was not run.
struct SoundCourse {
  std::vector<float> reading_c; ///< °C, of a sound vehicle in this driving and weather
  std::vector<float> error_k;   ///< its standard error by what is not known of the vehicle
};
/// Runs free: the readings serve at the beginning of each stretch only.
SoundCourse sound_course(const CircuitTrip& trip, const CircuitKnowledge& knowledge,
                         std::size_t blocks);

/// Mean square of the sound vehicle's misfit, beside that of its normal drives: about 1 in them.
double sound_misfit_ratio(const CircuitTrip& trip, const CircuitKnowledge& knowledge);

} // namespace coolband
