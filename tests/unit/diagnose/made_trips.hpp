// SPDX-License-Identifier: Apache-2.0
// Trips made block by block, and a band to judge them by.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"

#include <cmath>
#include <cstddef>
#include <limits>

namespace coolband::testing {

/// Conditions of a stretch of blocks; NaN: not logged.
struct Stretch {
  float coolant = 80.0F;
  float load = 35.0F;
  float speed = 60.0F;
  float ambient = 15.0F;
  Phase phase = Phase::warm;
  float altitude_rise_m = 0.0F; ///< a block
};

inline constexpr float k_not_logged = std::numeric_limits<float>::quiet_NaN();

inline constexpr Stretch k_coolant_only{80.0F, k_not_logged, k_not_logged, k_not_logged};

/// A trip of 10 s blocks, ten rows each.
class MadeTrip {
 public:
  MadeTrip& add(std::size_t blocks, const Stretch& stretch) {
    for (std::size_t i = 0; i < blocks; ++i) add_block(stretch);
    trip_.last_row = 10 * trip_.blocks.size() - 1;
    trip_.duration_s = trip_.blocks.end_s.back();
    trip_.usable_rows = trip_.last_row + 1;
    return *this;
  }
  /// From where it is to `to_c`, by at most `step_k` a block: coolant does not jump.
  MadeTrip& go_to(float to_c, float step_k = 1.0F, Stretch on = {}) {
    on.coolant = trip_.blocks.coolant.back();
    while (std::abs(to_c - on.coolant) > step_k) {
      on.coolant += to_c > on.coolant ? step_k : -step_k;
      add(1, on);
    }
    return *this;
  }
  [[nodiscard]] Trip take() const { return trip_; }

 private:
  void add_block(const Stretch& stretch) {
    Blocks& b = trip_.blocks;
    const std::size_t n = b.size();
    trip_.sample_period_s = 1.0;
    trip_.resolution_c = 1.0;
    b.start_s.push_back(10.0 * static_cast<double>(n));
    b.end_s.push_back(10.0 * static_cast<double>(n) + 9.0);
    b.coolant.push_back(stretch.coolant);
    b.ambient.push_back(stretch.ambient);
    b.load.push_back(stretch.load);
    b.load_lagged.push_back(stretch.load);
    b.speed.push_back(stretch.speed);
    b.rpm.push_back(1500.0F);
    height_m_ += stretch.altitude_rise_m;
    b.altitude.push_back(height_m_);
    b.first_row.push_back(10 * n);
    b.last_row.push_back(10 * n + 9);
    b.phase.push_back(stretch.phase);
  }

  Trip trip_;
  float height_m_ = 100.0F;
};

/// With coolant alone, steps of 0.1 °C: from `from_c`, a minute by `one_k` every 10 s, a minute by
/// `other_k`.
inline Trip by_turns(float from_c, float one_k, float other_k, int blocks) {
  Stretch on = k_coolant_only;
  on.coolant = from_c;
  MadeTrip made;
  for (int block = 0; block < blocks; ++block) {
    made.add(1, on);
    on.coolant += block / 6 % 2 == 0 ? one_k : other_k;
  }
  Trip trip = made.take();
  trip.resolution_c = 0.1;
  return trip;
}

/// 80 °C, an independent look every two minutes, 5 to 25 °C and 20 to 60 % seen.
inline NormalBand made_band(double half_width_c = 2.5) {
  NormalBand band;
  band.vehicle = "V";
  band.centre_c = 80.0;
  band.centre_error_c = 0.2;
  band.half_width_c = half_width_c;
  band.between_c = 0.5;
  band.within_c = 0.9;
  band.freedom = 20.0;
  band.correlation_s = 120.0;
  band.load_seen_pct = Range{20.0, 60.0};
  band.ambient_seen_c = Range{5.0, 25.0};
  band.load_c_per_pct = 0.0;
  band.reference_load_pct = 35.0;
  for (int i = 0; i < 10; ++i) band.drives.emplace_back();
  return band;
}

/// What judge() needs of the recording: instants of the rows.
inline Recording recording_for(const Trip& trip) {
  Recording recording;
  recording.source = "made.csv";
  for (std::size_t i = 0; i <= trip.last_row; ++i) {
    recording.time_s.push_back(static_cast<double>(i));
    recording.row_map.add({i + 1, i + 2});
  }
  return recording;
}

inline Judgement judged(const Trip& trip, const NormalBand& band = made_band(),
                        const std::optional<VehicleProfile>& profile = std::nullopt) {
  return judge(recording_for(trip), trip, band, profile);
}

} // namespace coolband::testing
