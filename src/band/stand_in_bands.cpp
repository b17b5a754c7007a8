// SPDX-License-Identifier: Apache-2.0
// Bands for a vehicle that has none: from what its profile states, or from the trip at hand.
#include "band/spread.hpp"
#include "coolband/band/normal_band.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// A thermostat regulates a few kelvin above the temperature at which it starts to open
/// (a unit stamped 76 °C may hold 80 °C: common practice, no source).
constexpr double k_above_opening_k = 4.0;
/// Without a stated tolerance: the published tolerance of the start of opening, 3 K
/// (TM 5-3825-229-14&P), and as much again for conditions that a profile cannot correct.
constexpr double k_profile_tolerance_k = 6.0;
/// The usual range of regulated temperatures (71-82 °C older and industrial, up to 95-110 °C
/// for map-controlled units; first from the TMs named in docs/methods.md, second common practice).
constexpr double k_lowest_normal_c = 71.0;
constexpr double k_highest_normal_c = 110.0;
/// Looks between which nothing is known of this vehicle: taken as two minutes apart.
constexpr double k_unknown_correlation_s = 120.0;

} // namespace

std::optional<NormalBand> band_from_profile(const VehicleProfile& profile) {
  if (!profile.normal_centre_c && !profile.thermostat_opens_c) return std::nullopt;
  NormalBand band;
  band.origin = BandOrigin::profile;
  band.vehicle = profile.id;
  band.opens_c = profile.thermostat_opens_c;
  band.centre_c = profile.normal_centre_c ? *profile.normal_centre_c
                                          : *profile.thermostat_opens_c + k_above_opening_k;
  band.half_width_c = profile.normal_tolerance_c.value_or(k_profile_tolerance_k);
  band.within_c = band.half_width_c / 2.0;
  band.correlation_s = k_unknown_correlation_s;
  band.notes.emplace_back(
      profile.normal_centre_c
          ? "the normal comes from the profile, not from this vehicle's own drives"
          : "the normal is estimated from the thermostat's rating in the profile");
  return band;
}

std::optional<NormalBand> band_from_trip(const Trip& trip) {
  if (!trip.level_c) return std::nullopt;
  NormalBand band;
  band.origin = BandOrigin::trip;
  band.centre_c = std::clamp(*trip.level_c, k_lowest_normal_c, k_highest_normal_c);
  // The trip's own scatter must not widen the band it is judged by: a thermostat that swings would
  // hide itself. What stands in is the prior of a vehicle of which nothing is known.
  band.between_c = k_prior_between_c;
  band.within_c = std::hypot(k_prior_within_c, quantisation_sigma(trip.resolution_c));
  band.freedom = k_prior_freedom;
  band.half_width_c = k_profile_tolerance_k;
  band.correlation_s = k_unknown_correlation_s;
  band.notes.emplace_back(
      "no band and no rating: the trip was judged against its own level, so a fault "
      "that lasted all trip long would not show");
  return band;
}

} // namespace coolband
