// SPDX-License-Identifier: Apache-2.0
// What load, speed, standing and climbing do within a drive, learned from all drives together.
#pragma once

#include "band/moments.hpp"
#include "band/withhold.hpp"
#include "coolband/band/normal_band.hpp"

#include <vector>

namespace coolband {

/// Load between none and full moves a sound vehicle by the opening span of its thermostat, 8-15 K
/// (spans named in docs/methods.md); twice that is the bound of what is believed, K per %.
inline constexpr Range k_load_slope_bounds{-0.05, 0.30};

struct LearnedEffect {
  Regressor regressor;
  double slope = 0.0;
  double error = 0.0;
};

struct Effects {
  std::optional<LearnedEffect> load;
  std::vector<LearnedEffect> others; ///< speed, idle or climb, those that earned their place
  double load_lag_s = 60.0;

  [[nodiscard]] std::vector<LearnedEffect> all() const;
};

/// Each drive about its own level (a regression with a level for every drive), weighted by its
/// independent looks. Load has its place wherever it varies; the others must improve the fit.
Effects learn_effects(const std::vector<DriveSummary>& drives,
                      const std::vector<FoldedDrives>& folded, const Withheld& withheld = {});

/// Variance of a drive's readings about its own level with these effects, K².
double variance_about(const Moments& moments, double scatter_k2, double explained_k2,
                      const Effects& effects);

/// The same of one drive.
double variance_about(const DriveSummary& drive, const Effects& effects);

} // namespace coolband
