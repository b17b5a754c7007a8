// SPDX-License-Identifier: Apache-2.0
// How long each drive's warm-up took, of what is usual: a valve that hangs a little open shows in
// nothing else.
#include "report/proof_panel.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

/// A slower one stands at the edge with its number, or it would flatten the rest.
constexpr double k_slowest_drawn = 4.0;
/// px that those without an end take at the top.
constexpr double k_endless_px = 24.0;

bool is_endless(const ProofDrive& drive) {
  return drive.warm_up && !drive.warm_up->reached_s && drive.warm_up->given_time;
}

Scale ratio_scale(const Box& plot, const ProofSides& sides, const WarmUpCheck& check) {
  double low = 0.7;
  double high = std::max(1.4, check.allowed_ratio + 0.15);
  double room = 0.0;
  for (const ProofSide* side : {&sides.before, &sides.after}) {
    for (const ProofDrive& drive : side->drives) {
      if (is_endless(drive)) room = k_endless_px;
      const auto ratio = warm_up_ratio(drive);
      if (!ratio) continue;
      low = std::min(low, *ratio - 0.1);
      high = std::max(high, std::min(*ratio + 0.1, k_slowest_drawn));
    }
  }
  if (check.ratio_interval) {
    low = std::min(low, check.ratio_interval->low - 0.05);
    high = std::max(high, std::min(check.ratio_interval->high + 0.05, k_slowest_drawn));
  }
  return {std::max(low, 0.0), high, plot.bottom, plot.top + room};
}

void draw_warm_up(SvgCanvas& canvas, const ProofPanel& panel, const ProofDrive& drive, double x) {
  if (is_endless(drive)) return draw_endless(canvas, {x, panel.plot.top + 0.5 * k_endless_px});
  const auto ratio = warm_up_ratio(drive);
  if (!ratio) return draw_untold(canvas, {x, panel.plot.bottom - 8.0});
  const Spot at{x, panel.y.within(*ratio)};
  draw_showing(canvas, at, drive.showing);
  if (*ratio > panel.y.high)
    canvas.text({x + 9.0, at.y + 12.0}, fmt::format("{:.1f}", *ratio), {.halo = true});
}

} // namespace

std::optional<double> warm_up_ratio(const ProofDrive& drive) {
  if (!drive.warm_up || !drive.warm_up->reached_s || !(drive.warm_up->expected_s > 0.0))
    return std::nullopt;
  return *drive.warm_up->reached_s / drive.warm_up->expected_s;
}

bool tells_warm_ups(const Verification& verification) {
  const auto tells = [](const ProofDrive& drive) {
    return is_endless(drive) || warm_up_ratio(drive).has_value();
  };
  const auto& before = verification.drives.before;
  const auto& after = judged_after(verification);
  return std::any_of(before.begin(), before.end(), tells) ||
         std::any_of(after.begin(), after.end(), tells);
}

void draw_warm_ups(SvgCanvas& canvas, const Box& plot, const ProofSides& sides,
                   const WarmUpCheck& check) {
  const ProofPanel panel{plot, ratio_scale(plot, sides, check)};
  if (check.allowed_ratio > 0.0) {
    draw_panel_zone(canvas, panel, panel.y.low, check.allowed_ratio);
    draw_panel_allowed(canvas, panel, check.allowed_ratio);
  }
  draw_panel_usual(canvas, panel, 1.0);
  draw_panel_frame(canvas, panel, "warm-up, × usual time", 5, [](double value, int decimals) {
    return fmt::format("{:.{}f}", value, decimals);
  });
  for (const ProofSide* side : {&sides.before, &sides.after}) {
    for (std::size_t i = 0; i < side->drives.size(); ++i)
      draw_warm_up(canvas, panel, side->drives[i], side->x_of(i));
    draw_drive_names(canvas, panel, *side);
  }
  if (check.ratio)
    draw_panel_mean(canvas, panel, sides.after, *check.ratio, check.ratio_interval,
                    fmt::format("mean {:.2f}", *check.ratio));
}

} // namespace coolband
