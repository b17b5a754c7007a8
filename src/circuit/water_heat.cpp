// SPDX-License-Identifier: Apache-2.0
// Liquid water: density and heat capacity.
#include "circuit/water_heat.hpp"

#include "circuit/kelvin.hpp"
#include "core/portable_math.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

struct Term {
  int i;
  int j;
  double n;
};

// IAPWS R7-97(2012), table 2.
constexpr auto k_terms =
    std::to_array<Term>({{0, -2, 0.14632971213167},        {0, -1, -0.84548187169114},
                         {0, 0, -0.37563603672040e1},      {0, 1, 0.33855169168385e1},
                         {0, 2, -0.95791963387872},        {0, 3, 0.15772038513228},
                         {0, 4, -0.16616417199501e-1},     {0, 5, 0.81214629983568e-3},
                         {1, -9, 0.28319080123804e-3},     {1, -7, -0.60706301565874e-3},
                         {1, -1, -0.18990068218419e-1},    {1, 0, -0.32529748770505e-1},
                         {1, 1, -0.21841717175414e-1},     {1, 3, -0.52838357969930e-4},
                         {2, -3, -0.47184321073267e-3},    {2, 0, -0.30001780793026e-3},
                         {2, 1, 0.47661393906987e-4},      {2, 3, -0.44141845330846e-5},
                         {2, 17, -0.72694996297594e-15},   {3, -4, -0.31679644845054e-4},
                         {3, 0, -0.28270797985312e-5},     {3, 6, -0.85205128120103e-9},
                         {4, -5, -0.22425281908000e-5},    {4, -2, -0.65171222895601e-6},
                         {4, 10, -0.14341729937924e-12},   {5, -8, -0.40516996860117e-6},
                         {8, -11, -0.12734301741641e-8},   {8, -6, -0.17424871230634e-9},
                         {21, -29, -0.68762131295531e-18}, {23, -31, 0.14478307828521e-19},
                         {29, -38, 0.26335781662795e-22},  {30, -39, -0.11947622640071e-22},
                         {31, -40, 0.18228094581404e-23},  {32, -41, -0.93537087292458e-25}});

} // namespace

CoolantHeat liquid_water(double temperature_k, double pressure_mpa) {
  constexpr double k_gas_kj_per_kg_k = 0.461526;
  const double pi = pressure_mpa / 16.53;
  const double tau = 1386.0 / temperature_k;
  const double a = 7.1 - pi;
  const double b = tau - 1.222;
  double by_pi = 0.0;
  double by_tau_twice = 0.0;
  for (const Term& term : k_terms) {
    by_pi -= term.n * term.i * portable_pow(a, term.i - 1) * portable_pow(b, term.j);
    by_tau_twice +=
        term.n * portable_pow(a, term.i) * term.j * (term.j - 1) * portable_pow(b, term.j - 2);
  }
  const double volume = pi * by_pi * k_gas_kj_per_kg_k * temperature_k / (1000.0 * pressure_mpa);
  return {1.0 / volume, -1000.0 * k_gas_kj_per_kg_k * tau * tau * by_tau_twice};
}

CoolantHeat liquid_water_at_c(double temperature_c) {
  const double t = std::clamp(temperature_c, 0.0, 125.0);
  return liquid_water(t + k_celsius_zero_k,
                      std::max(100.0, water_saturation_pressure_kpa(t)) / 1000.0);
}

} // namespace coolband
