// SPDX-License-Identifier: Apache-2.0
// A vehicle of the tests' own simulator before and after a repair, read and judged as the program
// does it.
#pragma once

#include "coolband/import/import_log.hpp"
#include "repair/prove.hpp"
#include "support/drive_simulator.hpp"
#include "support/random.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coolband::testing {

/// A cold start, town, road, a stop with the engine running and some motorway: what a driver is
/// asked for. 45 minutes.
inline DrivePlan proving_plan(std::uint64_t seed, double ambient_c) {
  DrivePlan plan;
  plan.seed = seed;
  plan.ambient_c = ambient_c;
  plan.start_c = ambient_c;
  plan.sample_period_s = 2.0;
  plan.legs = {{LegKind::town, 8},
               {LegKind::road, 16},
               {LegKind::idle, 4},
               {LegKind::motorway, 9},
               {LegKind::road, 8}};
  return plan;
}

inline Recording driven(const Vehicle& vehicle, const DrivePlan& plan, const FaultPlan& fault,
                        const std::string& name) {
  return *import_text(drive_csv(simulate_drive(vehicle, plan, fault)), name);
}

/// Learned from eight sound drives from 4 to 25 °C; none where they give no band.
inline std::optional<NormalBand> learned_band(const Vehicle& vehicle, std::uint64_t seed) {
  std::vector<DriveSummary> drives;
  for (std::uint64_t i = 0; i < 8; ++i) {
    const DrivePlan plan = proving_plan(seed + i, 4.0 + 3.0 * static_cast<double>(i));
    for (auto& drive : summarise_drives(driven(vehicle, plan, {}, "n" + std::to_string(i)))) {
      if (drive.summary) drives.push_back(*drive.summary);
    }
  }
  auto band = learn_band(drives, "V");
  if (!band) return std::nullopt;
  return std::move(*band);
}

/// Drives of one side, in weather that goes up by 2 K from one to the next.
struct Side {
  Vehicle vehicle;
  FaultPlan fault;
  std::size_t drives = 3;
  std::uint64_t seed = 1;
  double ambient_c = 12.0;
};

inline std::vector<JudgedLog> judged_side(const Side& side, const NormalBand& band) {
  std::vector<JudgedLog> logs;
  for (std::size_t i = 0; i < side.drives; ++i) {
    const DrivePlan plan =
        proving_plan(side.seed + i, side.ambient_c + 2.0 * static_cast<double>(i));
    JudgedLog log{driven(side.vehicle, plan, side.fault, "d" + std::to_string(i + 1)), {}};
    log.findings = analyse(log.recording, band, std::nullopt);
    logs.push_back(std::move(log));
  }
  return logs;
}

inline Verification proven(const NormalBand& band, const Side& before, const Side& after,
                           const VerifyOptions& options = {}) {
  const std::optional<VehicleProfile> no_profile;
  return prove({band, no_profile, judged_side(before, band), judged_side(after, band), 0}, options);
}

} // namespace coolband::testing
