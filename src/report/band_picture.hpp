// SPDX-License-Identifier: Apache-2.0
// What the picture of a band shows: each drive as a point over load and over outside temperature.
#pragma once

#include "coolband/band/normal_band.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

enum class DriveKind : std::uint8_t { sound, since_drift, left_out };

struct DrivePoint {
  DriveKind kind = DriveKind::sound;
  std::string name;
  double x = 0.0;              ///< mean of the panel's condition
  double level_c = 0.0;        ///< °C with all other conditions at the reference
  double own_level_c = 0.0;    ///< °C as it ran
  double scatter_c = 0.0;      ///< K
  std::optional<double> slope; ///< the drive's own, K per %; of the panel over load only
  std::optional<Range> seen;   ///< of the panel's condition
};

/// Drives that the band keeps as sums.
struct FoldedPoint {
  std::size_t count = 0;
  double x = 0.0;
  double level_c = 0.0;
  double scatter_c = 0.0;
  double slope = 0.0; ///< within these drives; over load only
  std::optional<Range> seen;
};

struct PanelContent {
  std::vector<DrivePoint> drives;
  std::vector<FoldedPoint> folded;
  std::size_t without = 0;   ///< drives that do not have the condition
  std::optional<Range> seen; ///< by the drives of the band

  [[nodiscard]] bool empty() const { return drives.empty() && folded.empty() && !seen; }
};

PanelContent over_load(const NormalBand& band);
PanelContent over_ambient(const NormalBand& band);

/// The condition from its lowest to its highest value, with room either side. Needs some content.
Range width_of(const PanelContent& content, double least_room);

} // namespace coolband
