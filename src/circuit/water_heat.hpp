// SPDX-License-Identifier: Apache-2.0
// Liquid water: density and heat capacity.
#pragma once

#include "coolband/circuit/coolant_fluid.hpp"

namespace coolband {

/// IAPWS-IF97 region 1 (R7-97(2012), eq. 7): liquid water, 273.15..623.15 K, from saturation to
/// 100 MPa. Outside the formula is not valid and nothing is clamped.
CoolantHeat liquid_water(double temperature_k, double pressure_mpa);

/// The same in a cooling system: at 100 kPa, or at saturation where that is higher; clamped to
/// 0..125 °C. Pressure hardly matters: 100 kPa change the density by 0.005 %.
CoolantHeat liquid_water_at_c(double temperature_c);

} // namespace coolband
