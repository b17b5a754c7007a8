// SPDX-License-Identifier: Apache-2.0
// Drives before and after a repair, measured already.
#pragma once

#include "repair/verification.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <initializer_list>
#include <string>
#include <vector>

namespace coolband::testing {

/// Hung open: cold at 40 % load, 15 °C outside and 70 km/h, from its tenth minute on.
inline Situation cold_situation() { return {Direction::below, 40.0, 15.0, 70.0, 600.0, 900.0}; }

inline ProofDrive sound_drive(double residual_k, const std::string& name = "sound.csv") {
  ProofDrive drive;
  drive.source = name;
  drive.condition = Condition::normal;
  drive.confidence = 0.9;
  drive.headline = "normal: ran at its level";
  drive.showing = Showing::clean;
  drive.judged_s = 1800.0;
  drive.residual_k = residual_k;
  drive.level_c = 80.0 + residual_k;
  drive.hottest_c = 84.0;
  drive.warm_up = ProofWarmUp{12.0, 610.0, 600.0, true};
  return drive;
}

inline ProofDrive faulty_drive(double residual_k = -10.0, const std::string& name = "faulty.csv") {
  ProofDrive drive = sound_drive(residual_k, name);
  drive.condition = Condition::thermostat_stuck_open;
  drive.action = Action::service;
  drive.headline = "the thermostat hangs open";
  drive.showing = Showing::shows;
  drive.warm_up = ProofWarmUp{12.0, {}, 600.0, true};
  drive.situation = cold_situation();
  return drive;
}

inline std::vector<ProofDrive> sound_drives(std::initializer_list<double> residuals_k) {
  std::vector<ProofDrive> drives;
  for (const double residual_k : residuals_k)
    drives.push_back(sound_drive(residual_k, "s" + std::to_string(drives.size() + 1) + ".csv"));
  return drives;
}

inline std::vector<ProofDrive> faulty_drives(std::size_t count) {
  std::vector<ProofDrive> drives;
  for (std::size_t i = 0; i < count; ++i)
    drives.push_back(faulty_drive(-10.0 + static_cast<double>(i), "f.csv"));
  return drives;
}

/// `made_band` with a warm-up that takes the same time within 3 %.
inline NormalBand proof_band() {
  NormalBand band = made_band();
  band.traits.warm_up = WarmUpNormal{{6.0, 0.05, 0.15, 8}, {}, {}};
  return band;
}

inline ProofDrives proof_of(std::vector<ProofDrive> before, std::vector<ProofDrive> after) {
  ProofDrives drives;
  drives.before = std::move(before);
  drives.after = std::move(after);
  return drives;
}

/// The drives after once more, healthy by a band moved to their level.
inline void move(ProofDrives& drives, double shift_k) {
  drives.moved = MovedNormal{shift_k, 80.0 + shift_k, drives.after};
  for (ProofDrive& drive : drives.moved->drives) {
    drive.showing = Showing::clean;
    drive.condition = Condition::normal;
  }
}

} // namespace coolband::testing
