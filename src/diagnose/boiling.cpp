// SPDX-License-Identifier: Apache-2.0
// How close a trip came to boiling.
#include "diagnose/boiling.hpp"

#include "circuit/usual_coolant.hpp"
#include "coolband/circuit/coolant_fluid.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

/// The highest altitude of the trip, where water boils first.
std::optional<double> highest_m(const Blocks& blocks) {
  std::optional<double> highest;
  for (const float altitude : blocks.altitude) {
    if (!std::isnan(altitude))
      highest = std::max(highest.value_or(-1e9), static_cast<double>(altitude));
  }
  return highest;
}

} // namespace

Boiling boiling_of(const Trip& trip, const std::optional<VehicleProfile>& profile,
                   std::optional<double> hottest_c) {
  Boiling boiling;
  CoolantMix mix{Glycol::ethylene, k_usual_glycol_pct};
  const auto glycol = profile ? profile->glycol : std::nullopt;
  const auto share_pct = profile ? profile->concentration_vol_pct : std::nullopt;
  if (glycol == Glycol::none || share_pct == 0.0)
    mix = {Glycol::none, 0.0};
  else if (glycol && share_pct)
    mix = {*glycol, *share_pct};
  else if (share_pct) {
    mix.volume_pct = *share_pct;
    boiling.assumptions.emplace_back("kind of glycol unknown: ethylene assumed");
  } else
    boiling.assumptions.push_back(fmt::format(
        "coolant mix unknown: {:.0f} vol % ethylene glycol assumed", k_usual_glycol_pct));
  const bool cap_known = profile && profile->cap_kpa;
  const double cap_kpa = cap_known ? *profile->cap_kpa : k_usual_cap_kpa;
  if (!cap_known)
    boiling.assumptions.push_back(fmt::format("cap pressure unknown: {:.0f} kPa assumed", cap_kpa));
  const auto altitude = highest_m(trip.blocks);
  if (!altitude) boiling.assumptions.emplace_back("altitude unknown: sea level assumed");

  const double outside_kpa = atmospheric_pressure_kpa(altitude.value_or(0.0));
  const auto point = boiling_point_c(mix, outside_kpa + cap_kpa);
  const auto open_point = boiling_point_c(mix, outside_kpa);
  if (!point || !open_point) {
    boiling.assumptions.push_back("no boiling point: " +
                                  (point ? open_point.error() : point.error()).message);
    return boiling;
  }
  boiling.point_c = *point;
  if (hottest_c) boiling.margin_c = *point - *hottest_c;
  boiling.assumptions.push_back(
      fmt::format("the boiling point of {:.0f} °C holds for a tight system at cap pressure; "
                  "with a leak or a weak cap it boils from {:.0f} °C",
                  *point, *open_point));
  return boiling;
}

} // namespace coolband
