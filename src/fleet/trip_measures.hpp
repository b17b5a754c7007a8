// SPDX-License-Identifier: Apache-2.0
// One trip in a few numbers that can be held against those of other trips, and of like vehicles.
// Small and serialisable (trend_json): a fleet keeps the latest of each vehicle.
#pragma once

#include "coolband/analyse.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// All at the same conditions, `k_common_load_pct` and `k_common_ambient_c`, as far as the band
/// tells what load and weather do.
enum class Measure : std::uint8_t {
  level,         ///< °C, where it runs warm
  level_at_load, ///< °C, where it runs at the load that its drives rarely exceed: how much of the
                 ///< cooling is used there
  spread,        ///< ln K, of the readings about that
  opening,       ///< °C, first opening of the thermostat as seen
  warm_up,       ///< ln min, from 20 °C to regulation
  hottest_idle,  ///< °C, standing with the engine running
};
inline constexpr std::size_t k_measures = 6;
std::array<Measure, k_measures> all_measures();
/// "level", "level-at-load", "spread", "opening", "warm-up", "hottest-idle"
std::string_view name_of(Measure measure);
std::optional<Measure> measure_named(std::string_view name);

/// Half throttle on the road, in mild weather: what most drives have seen.
inline constexpr double k_common_load_pct = 40.0;
inline constexpr double k_common_ambient_c = 20.0;

struct Measured {
  double value = 0.0;
  double error =
      0.0; ///< standard error within the trip; what differs from trip to trip comes on top
  /// What the band expects under the same conditions is so far below; none where it does not tell.
  std::optional<double> beyond_band;
};

struct TripMeasures {
  std::string source;
  std::string start; ///< instant as text; empty without a clock
  double duration_s = 0.0;
  double judged_s = 0.0; ///< of warm running
  /// Which sensor told it, as the caller says (the heading of its column); trips of different
  /// sensors are not compared.
  std::string sensor;
  BandOrigin band = BandOrigin::trip;
  std::string since; ///< `NormalBand::since`: after a service another normal begins

  std::array<std::optional<Measured>, k_measures> measures;
  std::array<std::string, k_measures> lacks; ///< why a measure is none; else empty
  std::optional<double> ambient_c;           ///< median of warm running
  std::optional<double> load_pct;            ///< mean of warm running

  std::optional<double> share_in_band;
  std::optional<double> hottest_c;
  std::optional<double> boiling_margin_k;
  Condition condition = Condition::undetermined;
  Action action = Action::none;
  bool left_band = false; ///< an episode that nothing explains
  std::string unfit;      ///< why the trip counts for no trend; empty: it counts

  [[nodiscard]] const std::optional<Measured>& of(Measure measure) const {
    return measures[static_cast<std::size_t>(measure)];
  }
};

/// What a finding does not say of itself.
struct TripLabel {
  std::string source;
  std::string start; ///< `format_instant`; empty without a clock
  std::string sensor;
  /// The vehicle's band with all of its corrections: measures of trips are compared with each
  /// other, whatever columns each was logged with. Null: what the trip was judged by.
  const NormalBand* whole_band = nullptr;
};

/// Never fails: a measure that the trip does not show is none, and `lacks` says why.
TripMeasures measure_trip(const TripFinding& finding, const TripLabel& label);

/// So many of a vehicle's trips are kept, the latest.
inline constexpr std::size_t k_kept_trips = 400;
/// By start (those without a date stay in their order), the latest `k_kept_trips` only. Two records
/// of one source and start count once, the later one in `trips`.
void keep_latest(std::vector<TripMeasures>& trips);

} // namespace coolband
