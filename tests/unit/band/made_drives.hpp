// SPDX-License-Identifier: Apache-2.0
// Drive summaries and warm trips made by hand.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "unit/condition/made_recording.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace coolband::testing {

/// Where a made drive lies and what its load does.
struct MadeLoad {
  double mean_pct = 35.0;
  double scatter_pct = 12.0;
  double slope = 0.05; ///< K per %
};

/// The same load at every lag.
inline Moments made_moments(double level_c, double scatter_c, const MadeLoad& load) {
  const double square = load.scatter_pct * load.scatter_pct;
  const double own = load.slope * load.slope * square + scatter_c * scatter_c;
  return {{Factor::coolant, Factor::load_60s},
          {level_c, load.mean_pct},
          {own, load.slope * square, square}};
}

inline void set_level(DriveSummary& drive, double level_c) {
  drive.level_c = level_c;
  drive.moments.mean[0] = level_c;
}

inline void set_load(DriveSummary& drive, const MadeLoad& load) {
  drive.moments = made_moments(drive.level_c, drive.scatter_c, load);
}

/// A sound drive of half an hour at `level_c`, outside at `ambient_c`.
inline DriveSummary made_drive(const std::string& name, double level_c, double ambient_c = 15.0) {
  DriveSummary drive;
  drive.source = name;
  drive.warm_s = 1800.0;
  drive.level_c = level_c;
  drive.scatter_c = 0.9;
  drive.effective_count = 15.0;
  drive.correlation_s = 120.0;
  drive.resolution_c = 1.0;
  drive.hottest_c = level_c + 3.0;
  set_load(drive, {});
  drive.load_seen_pct = Range{18.0, 60.0};
  drive.ambient_mean_c = ambient_c;
  drive.ambient_seen_c = Range{ambient_c - 1.0, ambient_c + 1.0};
  return drive;
}

/// `count` sound drives about 80 °C from 5 to 25 °C outside, 0.5 K (1 s.d. or so) apart.
inline std::vector<DriveSummary> made_drives(std::size_t count, std::uint64_t seed = 1) {
  Noise noise(seed);
  std::vector<DriveSummary> drives;
  for (std::size_t i = 0; i < count; ++i) {
    const double share = count > 1 ? static_cast<double>(i) / static_cast<double>(count - 1) : 0.5;
    const double level_c = 80.0 + 0.8 * noise.next();
    drives.push_back(made_drive("d" + std::to_string(i), level_c, 5.0 + 20.0 * share));
  }
  return drives;
}

struct WarmSeries {
  double level_c = 80.0;
  double load_slope = 0.0; ///< K per %
  double noise_c = 0.0;    ///< K, slow
  double step_c = 1.0;     ///< resolution
  std::size_t seconds = 1800;
  bool with_load = true;
};

/// A trip that is warm from its first row, at 1 Hz; load swings slowly between 20 and 60 %.
inline Trip warm_trip(const WarmSeries& series, std::uint64_t seed = 1) {
  Noise noise(seed);
  std::vector<float> coolant;
  std::vector<float> load;
  double slow = 0.0;
  double lagged = 40.0;
  for (std::size_t i = 0; i < series.seconds; ++i) {
    const double now = 40.0 + 20.0 * std::sin(static_cast<double>(i) * 2.0 * 3.14159265 / 600.0);
    lagged += (now - lagged) / 60.0;
    slow = 0.985 * slow + 0.3 * series.noise_c * noise.next();
    const double truth = series.level_c + series.load_slope * (lagged - 40.0) + slow;
    coolant.push_back(static_cast<float>(std::round(truth / series.step_c) * series.step_c));
    load.push_back(static_cast<float>(now));
  }
  Recording recording = made_recording(1.0, coolant);
  if (series.with_load) recording.column(Role::load) = load;
  fill(recording, Role::ambient, 15.0F);
  SegmentOptions options;
  options.regulating_c = series.level_c;
  return find_trips(recording, condition(recording), options).front();
}

} // namespace coolband::testing
