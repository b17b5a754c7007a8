// SPDX-License-Identifier: Apache-2.0
// What is known of a vehicle's thermal circuit before the trip at hand: from its normal drives, or
// what is usual.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/band/vehicle_profile.hpp"
#include "coolband/circuit/fitted_circuit.hpp"

#include <array>
#include <optional>

namespace coolband {

/// On the scale of the fit: natural logarithms, but `opens` in °C.
struct CircuitKnowledge {
  PerParameter<double> mean{};
  std::array<PerParameter<double>, k_circuit_parameters> covariance{};
  double misfit_k = 0.0; ///< K, of a prediction corrected over 5 min
  bool learned = false;  ///< from this vehicle's own drives
};

/// What the circuit says is believed to this part: its candidates are simpler than the faults that
/// they stand for (judgement).
inline constexpr double k_circuit_weight = 0.7;

/// `profile` gives the start of opening where no drives do.
CircuitKnowledge circuit_knowledge(const NormalBand& band,
                                   const std::optional<VehicleProfile>& profile);

} // namespace coolband
