// SPDX-License-Identifier: Apache-2.0
// The coolant itself: where it freezes and where it boils.
#pragma once

#include "coolband/core/result.hpp"

namespace coolband {

enum class Glycol { none, ethylene, propylene };

struct CoolantMix {
  Glycol glycol = Glycol::ethylene;
  double volume_pct = 50.0; ///< glycol by volume, 0..60; beyond 60 there is no table to stand on
};

/// ISO 2533 / ICAO Doc 7488 standard atmosphere, absolute pressure in kPa at a geopotential
/// altitude in m, -2000..11000 (clamped).
double atmospheric_pressure_kpa(double altitude_m);

/// IAPWS-IF97 region 4 (R7-97(2012), eq. 30 and 31), kPa absolute. Inputs are clamped to the
/// saturation line, 0..373.946 °C and 0.611..22064 kPa.
double water_saturation_pressure_kpa(double temperature_c);
double water_saturation_temperature_c(double pressure_kpa);

/// Mass fraction 0..1 of glycol for a volume percentage (clamped to 0..60), ASHRAE conversion
/// table, linear between its rows. The last ethylene row is 57.8 vol %; the line is drawn on to 60.
double glycol_mass_fraction(const CoolantMix& mix);

/// Freezing point in °C, ASHRAE table by volume, joined by a monotone cubic: the curve is bent
/// downwards, so straight lines would promise up to 0.1 K too much. Ethylene glycol between
/// 57.8 vol %, the last row, and 60 keeps the value of that row, which is on the safe side.
/// Other published curves differ by up to 2 K. Error (kind usage) outside 0..60 vol %.
Result<double> freezing_point_c(const CoolantMix& mix);

/// Bubble point in °C at an absolute pressure in kPa: x_w p_w(T) + x_g p_g(T) = P (Raoult) with
/// IF97 water and an Antoine curve for the glycol. Ethylene glycol: uncertainty ±1.5 K for 25-60
/// mass %. Propylene glycol: no measured table was at hand to prove the ideal mixture by, so only
/// four fifths of its rise over pure water are credited. That is deliberately low (about 1 K below
/// the commonly quoted 105.6 °C at 50 vol % and sea level) and never below water's own boiling
/// point. Error (kind usage) outside 0..60 vol % or 1..1000 kPa.
Result<double> boiling_point_c(const CoolantMix& mix, double pressure_kpa);

} // namespace coolband
