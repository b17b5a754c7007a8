// SPDX-License-Identifier: Apache-2.0
// Wide enough for a small petrol car and for a lorry; judgement, where no source is named.
#include "circuit/circuit_prior.hpp"

#include "core/portable_math.hpp"

#include <cmath>

namespace coolband {

namespace {

bool is_logarithm(std::size_t parameter) {
  return static_cast<CircuitParameter>(parameter) != CircuitParameter::opens;
}

/// Standard deviations of the logarithms, of `opens` in K: common thermostats begin to open from 71
/// to 95 °C.
constexpr PerParameter<double> k_scatter{0.5, 0.4, 0.7, 0.7, 0.7, 0.4, 0.7, 8.0, 0.25, 0.3,
                                         0.5, 0.5, 0.6, 0.5, 0.6, 0.5, 0.5, 0.6, 0.22};

} // namespace

const CircuitPrior& usual_prior() {
  static const CircuitPrior prior = [] {
    CircuitPrior usual;
    usual.scatter = k_scatter;
    for (std::size_t p = 0; p < k_circuit_parameters; ++p)
      usual.mean[p] = on_fit_scale(p, usual_circuit()[p]);
    return usual;
  }();
  return prior;
}

double on_fit_scale(std::size_t parameter, double value) {
  return is_logarithm(parameter) ? portable_log(value) : value;
}

CircuitValues own_units(std::span<const double> fitted) {
  CircuitValues values{};
  for (std::size_t p = 0; p < k_circuit_parameters; ++p)
    values[p] = is_logarithm(p) ? portable_exp(fitted[p]) : fitted[p];
  return values;
}

} // namespace coolband
