// SPDX-License-Identifier: Apache-2.0
// What is known of any vehicle's circuit before a drive is looked at, and the scale on which its
// parameters are fitted.
#pragma once

#include "circuit/reduced_circuit.hpp"

#include <cstddef>
#include <span>

namespace coolband {

/// Means and standard deviations, independent; natural logarithms, but `opens` in °C.
struct CircuitPrior {
  PerParameter<double> mean{};
  PerParameter<double> scatter{};
};

const CircuitPrior& usual_prior();

/// One parameter from its own unit to the scale of the fit.
double on_fit_scale(std::size_t parameter, double value);

/// The first `k_circuit_parameters` of `fitted`, in their own units.
CircuitValues own_units(std::span<const double> fitted);

} // namespace coolband
