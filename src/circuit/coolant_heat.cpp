// SPDX-License-Identifier: Apache-2.0
// Density and heat capacity of glycol mixtures.
#include "circuit/water_heat.hpp"
#include "coolband/circuit/coolant_fluid.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_coldest_fitted_c = -35.0;
constexpr double k_hottest_c = 125.0;
constexpr double k_most_volume_pct = 60.0;

/// Row i, place j: the factor of x^i t^j; x in mass %, t in K, both from the middle of the data.
using Polynomial = std::array<std::array<double, 4>, 6>;

struct MixtureFit {
  double middle_mass_pct;
  double middle_c;
  Polynomial density;
  Polynomial capacity;
};

// Melinder, Properties of Secondary Working Fluids for Indirect Systems (IIR 2010), from memory.
// The column of the same table for the freezing point is the one that CoolProp publishes.
constexpr MixtureFit k_ethylene_heat{30.8462,
                                     31.728,
                                     {{{1034, -0.4781, -0.002692, 4.725e-06},
                                       {1.311, -0.006876, 4.805e-05, 1.69e-08},
                                       {7.49e-05, 7.855e-05, -3.995e-07, 4.982e-09},
                                       {-0.0001062, 1.229e-06, -1.153e-08, 0.0},
                                       {-9.623e-07, -7.211e-08, 0.0, 0.0},
                                       {4.891e-08, 0.0, 0.0, 0.0}}},
                                     {{{3737, 2.93, -0.004675, -1.389e-05},
                                       {-17.99, 0.1046, -0.0004147, 1.847e-07},
                                       {-0.09933, 0.0003516, 5.109e-06, -7.138e-08},
                                       {0.00261, -1.189e-05, -1.643e-07, 0.0},
                                       {1.537e-05, -4.272e-07, 0.0, 0.0},
                                       {-1.618e-06, 0.0, 0.0, 0.0}}}};
// The terms of the capacity in x^4, x^4 t and x^5 are not known to us and left out.
constexpr MixtureFit k_propylene_heat{30.7031,
                                      32.7083,
                                      {{{1018, -0.5406, -0.002666, 1.347e-05},
                                        {0.7604, -0.00945, 5.541e-05, -1.343e-07},
                                        {-0.002498, 2.7e-05, -4.018e-07, 3.376e-09},
                                        {-0.000155, 2.829e-06, -7.175e-09, 0.0},
                                        {-1.131e-06, -2.221e-08, 0.0, 0.0},
                                        {2.342e-08, 0.0, 0.0, 0.0}}},
                                      {{{3882, 2.699, -0.001659, -1.032e-05},
                                        {-13.04, 0.0507, -4.752e-05, 1.522e-06},
                                        {-0.1598, 9.534e-05, 1.167e-05, -4.487e-08},
                                        {0.0003539, 3.102e-05, -2.955e-07, 0.0},
                                        {0.0, 0.0, 0.0, 0.0},
                                        {0.0, 0.0, 0.0, 0.0}}}};

double value_of(const Polynomial& polynomial, double x, double t) {
  double sum = 0.0;
  for (std::size_t i = polynomial.size(); i-- > 0;) {
    const auto& row = polynomial[i];
    sum = sum * x + row[0] + t * (row[1] + t * (row[2] + t * row[3]));
  }
  return sum;
}

CoolantHeat fitted(const MixtureFit& fit, double mass_pct, double temperature_c) {
  const double x = mass_pct - fit.middle_mass_pct;
  const double t = temperature_c - fit.middle_c;
  return {value_of(fit.density, x, t), value_of(fit.capacity, x, t)};
}

/// What makes the fit end in water itself: all of the gap at 0, nothing from the middle on. The
/// fourth power, since that is what a fit about the middle knows least.
CoolantHeat towards_water(const MixtureFit& fit, double mass_pct, double temperature_c) {
  const double near = 1.0 - mass_pct / fit.middle_mass_pct;
  if (near <= 0.0) return {};
  const double share = near * near * near * near;
  const double t = std::max(temperature_c, 0.0);
  const CoolantHeat water = liquid_water_at_c(t);
  const CoolantHeat end = fitted(fit, 0.0, t);
  return {share * (water.density_kg_per_m3 - end.density_kg_per_m3),
          share * (water.capacity_j_per_kg_k - end.capacity_j_per_kg_k)};
}

} // namespace

CoolantHeat coolant_heat(const CoolantMix& mix, double temperature_c) {
  const double mass_pct = 100.0 * glycol_mass_fraction(mix);
  if (mass_pct == 0.0) return liquid_water_at_c(temperature_c);
  if (std::isnan(mass_pct)) return {mass_pct, mass_pct};
  const CoolantMix known{mix.glycol, std::clamp(mix.volume_pct, 0.0, k_most_volume_pct)};
  const double coldest_c = std::max(k_coldest_fitted_c, freezing_point_c(known).value());
  const double t = std::clamp(temperature_c, coldest_c, k_hottest_c);
  const MixtureFit& fit = mix.glycol == Glycol::propylene ? k_propylene_heat : k_ethylene_heat;
  const CoolantHeat mixture = fitted(fit, mass_pct, t);
  const CoolantHeat closing = towards_water(fit, mass_pct, t);
  return {mixture.density_kg_per_m3 + closing.density_kg_per_m3,
          mixture.capacity_j_per_kg_k + closing.capacity_j_per_kg_k};
}

} // namespace coolband
