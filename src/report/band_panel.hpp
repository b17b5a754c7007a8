// SPDX-License-Identifier: Apache-2.0
// One panel of a band's picture: what it shows, where, and on which scales.
#pragma once

#include "report/band_picture.hpp"
#include "report/svg_canvas.hpp"

#include <array>
#include <string>

namespace coolband {

/// Everything of one panel but what it is drawn on.
struct Panel {
  PanelContent content;
  bool is_load = false;
  Box plot;
  Scale x;
  Scale y;
  std::string heading;
  std::string condition; ///< in a word or two
  std::string label;
  std::string effect; ///< a line of words
  std::string empty;  ///< said in its place

  /// The drive lies above or below what the panel shows.
  [[nodiscard]] bool is_beyond(const DrivePoint& drive) const {
    return drive.level_c < y.low || drive.level_c > y.high;
  }
};

Panel load_panel(const NormalBand& band);
Panel ambient_panel(const NormalBand& band);

/// The line that stands for a drive: its own slope over the load it saw, or its scatter. In the
/// units of the panel.
std::array<Spot, 2> line_of(const DrivePoint& drive, bool is_load);

Prediction predicted(const Predictor& predictor, const Panel& panel, double x);

/// The coolant that both panels show. Drives that were left out may lie far off: they may not
/// flatten the rest, and stand at the edge then.
Range height_of(const NormalBand& band, const std::array<Panel, 2>& panels);

} // namespace coolband
