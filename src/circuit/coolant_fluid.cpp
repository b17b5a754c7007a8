// SPDX-License-Identifier: Apache-2.0
// Where a glycol mixture freezes and boils.
#include "coolband/circuit/coolant_fluid.hpp"

#include "core/portable_math.hpp"
#include "numeric/find_root.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <span>
#include <string>
#include <utility>

namespace coolband {

namespace {

constexpr double k_highest_volume_pct = 60.0;

struct TableRow {
  double mass_pct;
  double volume_pct;
  double freeze_c;
};

// ASHRAE Handbook - Fundamentals (2001), physical properties of secondary coolants.
constexpr auto k_ethylene_freezing = std::to_array<TableRow>({{0, 0.0, 0.0},
                                                              {10, 8.9, -3.2},
                                                              {20, 18.1, -7.8},
                                                              {25, 22.9, -10.7},
                                                              {30, 27.7, -14.1},
                                                              {35, 32.6, -17.9},
                                                              {40, 37.5, -22.3},
                                                              {45, 42.5, -27.5},
                                                              {50, 47.6, -33.8},
                                                              {52, 49.6, -36.4},
                                                              {53, 50.6, -37.9},
                                                              {55, 52.7, -41.1},
                                                              {60, 57.8, -48.3}});
constexpr auto k_propylene_freezing = std::to_array<TableRow>({{0, 0.0, 0.0},
                                                               {10, 9.6, -3.3},
                                                               {20, 19.4, -7.1},
                                                               {25, 24.4, -9.6},
                                                               {30, 29.4, -12.7},
                                                               {35, 34.4, -16.4},
                                                               {40, 39.6, -21.1},
                                                               {45, 44.7, -26.7},
                                                               {50, 49.9, -33.5},
                                                               {52, 51.9, -36.6},
                                                               {53, 53.0, -38.2},
                                                               {55, 55.0, -41.6},
                                                               {60, 60.0, -51.1}});

constexpr double k_water_g_per_mol = 18.01528;

/// log10 p[mmHg] = a - b / (T[°C] + c), fitted to six points between 1 and 760 mmHg each.
struct GlycolVapour {
  double g_per_mol;
  double a;
  double b;
  double c;
};
// CRC Handbook, points of 1, 10, 40, 100, 400, 760 mmHg. Ethylene glycol: 53.0, 92.1, 120.0, 141.8,
// 178.5, 197.3 °C; propylene glycol: 45.5, 83.2, 111.2, 132.0, 168.1, 188.2 °C (the latter from
// memory).
constexpr GlycolVapour k_ethylene_vapour{62.068, 9.48128, 3140.149, 278.204};
constexpr GlycolVapour k_propylene_vapour{76.094, 9.00385, 2725.711, 257.2385};

// How much of the ideal rise over water a propylene mixture is credited with; see the header.
constexpr double k_propylene_credit = 0.8;

std::span<const TableRow> table_of(Glycol glycol) {
  return glycol == Glycol::propylene ? std::span<const TableRow>(k_propylene_freezing)
                                     : std::span<const TableRow>(k_ethylene_freezing);
}

double volume_of(const CoolantMix& mix) {
  if (mix.glycol == Glycol::none) return 0.0;
  return std::clamp(mix.volume_pct, 0.0, k_highest_volume_pct);
}

bool on_table(const CoolantMix& mix) {
  return mix.glycol == Glycol::none ||
         (mix.volume_pct >= 0.0 && mix.volume_pct <= k_highest_volume_pct);
}

Error off_table(const CoolantMix& mix) {
  return {ErrorKind::usage,
          {},
          fmt::format("no table for {} vol % glycol: known from 0 to {}", mix.volume_pct,
                      k_highest_volume_pct),
          {},
          "give the concentration between 0 and 60 % by volume"};
}

// First row of the stretch that holds `volume`; the last stretch also serves beyond its end.
std::size_t stretch_of(std::span<const TableRow> rows, double volume) {
  std::size_t i = 0;
  while (i + 2 < rows.size() && rows[i + 1].volume_pct <= volume) ++i;
  return i;
}

double width(std::span<const TableRow> rows, std::size_t i) {
  return rows[i + 1].volume_pct - rows[i].volume_pct;
}

double secant(std::span<const TableRow> rows, std::size_t i) {
  return (rows[i + 1].freeze_c - rows[i].freeze_c) / width(rows, i);
}

// Slope of the freezing curve at row i after Fritsch & Butland (SIAM J. Sci. Stat. Comput. 5
// (1984) 300-304): a weighted harmonic mean, which cannot overshoot. Three points at the ends.
double slope_at(std::span<const TableRow> rows, std::size_t i) {
  const std::size_t last = rows.size() - 1;
  if (i == 0 || i == last) {
    const std::size_t near = i == 0 ? 0 : last - 1;
    const std::size_t far = i == 0 ? 1 : last - 2;
    const double h = width(rows, near);
    const double total = h + width(rows, far);
    return ((total + h) * secant(rows, near) - h * secant(rows, far)) / total;
  }
  const double before = width(rows, i - 1);
  const double after = width(rows, i);
  const double left = 2.0 * after + before;
  const double right = after + 2.0 * before;
  return (left + right) / (left / secant(rows, i - 1) + right / secant(rows, i));
}

double glycol_pressure_kpa(const GlycolVapour& vapour, double temperature_c) {
  constexpr double k_kpa_per_mmhg = 101.325 / 760.0;
  return k_kpa_per_mmhg * portable_pow(10.0, vapour.a - vapour.b / (temperature_c + vapour.c));
}

// Ideal mixture. The glycol only adds pressure, so it boils between pure water at the same
// pressure and water at the pressure its own share would need alone.
double ideal_bubble_point_c(const CoolantMix& mix, double pressure_kpa) {
  const GlycolVapour& vapour =
      mix.glycol == Glycol::propylene ? k_propylene_vapour : k_ethylene_vapour;
  const double mass = glycol_mass_fraction(mix);
  const double glycol_mol = mass / vapour.g_per_mol;
  const double water_mol = (1.0 - mass) / k_water_g_per_mol;
  const double water = water_mol / (water_mol + glycol_mol);
  const auto excess_kpa = [&](double t) {
    return water * water_saturation_pressure_kpa(t) +
           (1.0 - water) * glycol_pressure_kpa(vapour, t) - pressure_kpa;
  };
  return find_root(excess_kpa, water_saturation_temperature_c(pressure_kpa),
                   water_saturation_temperature_c(pressure_kpa / water), 1e-9);
}

} // namespace

double glycol_mass_fraction(const CoolantMix& mix) {
  const std::span<const TableRow> rows = table_of(mix.glycol);
  const double volume = volume_of(mix);
  const std::size_t i = stretch_of(rows, volume);
  const double share = (volume - rows[i].volume_pct) / width(rows, i);
  return (rows[i].mass_pct + share * (rows[i + 1].mass_pct - rows[i].mass_pct)) / 100.0;
}

double glycol_volume_pct(Glycol glycol, double mass_fraction) {
  if (glycol == Glycol::none) return 0.0;
  const double least = std::max(mass_fraction, 0.0);
  return find_root(
      [&](double v) {
        return glycol_mass_fraction({glycol, v}) - least;
      },
      0.0, k_highest_volume_pct, 1e-9);
}

Result<double> freezing_point_c(const CoolantMix& mix) {
  if (!on_table(mix)) return off_table(mix);
  const std::span<const TableRow> rows = table_of(mix.glycol);
  const double volume = std::min(volume_of(mix), rows.back().volume_pct);
  const std::size_t i = stretch_of(rows, volume);
  const double h = width(rows, i);
  const double s = (volume - rows[i].volume_pct) / h;
  const double rest = 1.0 - s;
  return rest * rest * ((1.0 + 2.0 * s) * rows[i].freeze_c + s * h * slope_at(rows, i)) +
         s * s * ((1.0 + 2.0 * rest) * rows[i + 1].freeze_c - rest * h * slope_at(rows, i + 1));
}

Result<double> concentration_for_c(Glycol glycol, double temperature_c) {
  if (temperature_c >= 0.0) return 0.0;
  const TableRow& last = table_of(glycol).back();
  const auto error = [&](std::string message, std::string remedy) {
    return Error{ErrorKind::usage, {}, std::move(message), {}, std::move(remedy)};
  };
  if (glycol == Glycol::none)
    return error(fmt::format("water alone freezes at 0 °C, not at {:g} °C", temperature_c),
                 "choose ethylene or propylene glycol");
  if (!(temperature_c >= last.freeze_c))
    return error(
        fmt::format("no mix is known to protect to {:.4g} °C: {} glycol reaches {:.1f} °C at {:g} "
                    "vol %, and more than 60 % protects less",
                    temperature_c, glycol == Glycol::ethylene ? "ethylene" : "propylene",
                    last.freeze_c, last.volume_pct),
        "ask for a milder temperature, or ask the coolant's maker");
  return find_root(
      [&](double v) {
        return freezing_point_c({glycol, v}).value() - temperature_c;
      },
      0.0, last.volume_pct, 1e-9);
}

Result<double> boiling_point_c(const CoolantMix& mix, double pressure_kpa) {
  if (!on_table(mix)) return off_table(mix);
  if (!(pressure_kpa >= 1.0 && pressure_kpa <= 1000.0))
    return Error{
        ErrorKind::usage,
        {},
        fmt::format("no boiling point at {} kPa: known from 1 to 1000 kPa absolute", pressure_kpa),
        {},
        {}};
  const double water_c = water_saturation_temperature_c(pressure_kpa);
  if (volume_of(mix) == 0.0) return water_c;
  const double rise_k = ideal_bubble_point_c(mix, pressure_kpa) - water_c;
  return water_c + (mix.glycol == Glycol::propylene ? k_propylene_credit : 1.0) * rise_k;
}

} // namespace coolband
