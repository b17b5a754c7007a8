// SPDX-License-Identifier: Apache-2.0
// The coolant itself: where it freezes, where it boils, and what heat it carries.
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

/// Geopotential altitude in m of a geometric one (ISO 2533): 3 m less at 4500 m.
double geopotential_altitude_m(double geometric_m);

/// IAPWS-IF97 region 4 (R7-97(2012), eq. 30 and 31), kPa absolute. Inputs are clamped to the
/// saturation line, 0..373.946 °C and 0.611..22064 kPa.
double water_saturation_pressure_kpa(double temperature_c);
double water_saturation_temperature_c(double pressure_kpa);

/// Mass fraction 0..1 of glycol for a volume percentage (clamped to 0..60), ASHRAE conversion
/// table, linear between its rows. The last ethylene row is 57.8 vol %; the line is drawn on to 60.
double glycol_mass_fraction(const CoolantMix& mix);

/// The way back: vol % for a mass fraction, clamped to 0..60 vol %. Without glycol 0.
double glycol_volume_pct(Glycol glycol, double mass_fraction);

/// Freezing point in °C, ASHRAE table by volume, joined by a monotone cubic: the curve is bent
/// downwards, so straight lines would promise up to 0.1 K too much. Ethylene glycol between
/// 57.8 vol %, the last row, and 60 keeps the value of that row, which is on the safe side.
/// Melinder's curve (IIR 2010) lies up to 2.2 K lower for ethylene and 1.3 K higher for propylene
/// glycol up to 50 mass %, 3 K lower at the end. Error (kind usage) outside 0..60 vol %.
Result<double> freezing_point_c(const CoolantMix& mix);

/// The least vol % whose freezing point is at or below a temperature in °C; 0 from 0 °C up. Error
/// (kind usage) without glycol, or below the last row of the table (-48.3 °C ethylene, -51.1 °C
/// propylene): more glycol then protects less.
Result<double> concentration_for_c(Glycol glycol, double temperature_c);

/// Bubble point in °C at an absolute pressure in kPa: x_w p_w(T) + x_g p_g(T) = P (Raoult) with
/// IF97 water and an Antoine curve for the glycol. Ethylene glycol: uncertainty ±1.5 K for 25-60
/// mass %. Propylene glycol: no measured table was at hand to prove the ideal mixture by, so only
/// four fifths of its rise over pure water are credited. That is deliberately low (about 1 K below
/// the commonly quoted 105.6 °C at 50 vol % and sea level) and never below water's own boiling
/// point. Error (kind usage) outside 0..60 vol % or 1..1000 kPa.
Result<double> boiling_point_c(const CoolantMix& mix, double pressure_kpa);

struct CoolantHeat {
  double density_kg_per_m3 = 0.0;
  double capacity_j_per_kg_k = 0.0;

  [[nodiscard]] double kj_per_litre_k() const {
    return density_kg_per_m3 * capacity_j_per_kg_k / 1e6;
  }
};

/// Density and heat capacity of the liquid. Clamped to 0..60 vol % and from the freezing point
/// (-35 °C at the lowest) to 125 °C. Water is IAPWS-IF97 region 1. Mixtures are Melinder's
/// polynomials (Properties of Secondary Working Fluids, IIR 2010; coefficients from memory), fitted
/// by him up to 100 °C and 60 mass %; beyond 100 °C they are extrapolated.
/// Uncertainty, from the distance to ASHRAE's inhibited ethylene glycol (denser by up to 0.95 %):
/// density ±1 %; heat capacity ±2 % from 0 °C up, ±5 % below. Propylene glycol, of which there was
/// no table to compare with and three terms of the capacity are left out: ±1 % and ±4 %.
CoolantHeat coolant_heat(const CoolantMix& mix, double temperature_c);

} // namespace coolband
