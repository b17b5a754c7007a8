// SPDX-License-Identifier: Apache-2.0
// What the panels of the before and after picture have in common: where its drives stand, their
// marks, the mean behind them.
#pragma once

#include "repair/verification.hpp"
#include "report/svg_canvas.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// One side of the picture: where its drives stand, and behind them the mean.
struct ProofSide {
  std::vector<ProofDrive> drives;
  double from_px = 0.0;
  double step_px = 0.0;

  [[nodiscard]] double x_of(std::size_t i) const;
  [[nodiscard]] double mean_px() const;
  [[nodiscard]] double end_px() const;
};

struct ProofSides {
  ProofSide before;
  ProofSide after;
};
/// The latest forty drives of either side, one beside the other between the two px.
ProofSides proof_sides(const Verification& verification, double left, double right);

struct ProofPanel {
  Box plot;
  Scale y;
};

/// Frame, ticks in these words, and what the height means.
void draw_panel_frame(SvgCanvas& canvas, const ProofPanel& panel, const std::string& label,
                      std::size_t most_ticks,
                      const std::function<std::string(double, int)>& words_of);
void draw_panel_zone(SvgCanvas& canvas, const ProofPanel& panel, double low, double high);
/// The line in the middle of what is usual.
void draw_panel_usual(SvgCanvas& canvas, const ProofPanel& panel, double value);
/// The line that means shall not pass.
void draw_panel_allowed(SvgCanvas& canvas, const ProofPanel& panel, double value);
/// File or day of each drive below the panel, as far as there is room.
void draw_drive_names(SvgCanvas& canvas, const ProofPanel& panel, const ProofSide& side);
/// `words` below the panel; the bar only where the interval is finite.
void draw_panel_mean(SvgCanvas& canvas, const ProofPanel& panel, const ProofSide& side, double mean,
                     const std::optional<Range>& interval, const std::string& words);

/// Of a drive, by what it shows: told apart by shape and fill, not by colour alone.
void draw_showing(SvgCanvas& canvas, Spot at, Showing showing);
/// Of a drive that does not tell what the panel is about.
void draw_untold(SvgCanvas& canvas, Spot at);
/// Of a mean.
void draw_mean_mark(SvgCanvas& canvas, Spot at);
/// Of a warm-up that never came to its level.
void draw_endless(SvgCanvas& canvas, Spot at);

/// Taken to usual time; none where the log does not tell both.
std::optional<double> warm_up_ratio(const ProofDrive& drive);
/// Any drive tells how its warm-up went: there is something to draw.
bool tells_warm_ups(const Verification& verification);
/// Each drive's warm-up, taken to usual time, over what is allowed.
void draw_warm_ups(SvgCanvas& canvas, const Box& plot, const ProofSides& sides,
                   const WarmUpCheck& check);

} // namespace coolband
