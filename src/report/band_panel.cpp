// SPDX-License-Identifier: Apache-2.0
// One panel of a band's picture: what it shows, where, and on which scales.
#include "report/band_panel.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_plot_top = 118.0;
constexpr double k_plot_bottom = 340.0;

std::string effect_words(const Panel& panel, const NormalBand& band) {
  const auto& slope = panel.is_load ? band.load_c_per_pct : band.ambient_c_per_c;
  const auto& reference = panel.is_load ? band.reference_load_pct : band.reference_ambient_c;
  if (!slope || !reference) {
    return panel.is_load ? "no load effect learned: the band is level"
                         : "no ambient effect learned: the band is level";
  }
  if (panel.is_load) {
    std::string words =
        fmt::format("{:+.3f} ± {:.3f} K per % of load", *slope, band.load_error_c_per_pct);
    if (band.ambient_c_per_c && band.reference_ambient_c)
      words += fmt::format(", at {:.0f} °C outside", *band.reference_ambient_c);
    return words;
  }
  std::string words =
      fmt::format("{:+.3f} ± {:.3f} K per K outside", *slope, band.ambient_error_c_per_c);
  if (band.load_c_per_pct && band.reference_load_pct)
    words += fmt::format(", at {:.0f} % load", *band.reference_load_pct);
  return words;
}

/// Bands that no drive stands behind were not read from any log.
std::string empty_words(const Panel& panel, const NormalBand& band) {
  if (band.drive_count() == 0 && band.left_out.empty()) return "no drives behind this band";
  return "no " + panel.condition + " in these logs";
}

void stretch(Range& range, double value) {
  if (!std::isfinite(value)) return;
  range = {std::min(range.low, value), std::max(range.high, value)};
}

} // namespace

Panel load_panel(const NormalBand& band) {
  Panel panel;
  panel.is_load = true;
  panel.content = over_load(band);
  panel.plot = {64.0, k_plot_top, 436.0, k_plot_bottom};
  panel.condition = "load";
  panel.heading = "Coolant against load";
  panel.label = fmt::format("engine load (%, lagged by {:.0f} s)", band.load_lag_s);
  panel.effect = effect_words(panel, band);
  panel.empty = empty_words(panel, band);
  Range x = width_of(panel.content, 5.0);
  if (x.low < 0.0 && (!panel.content.seen || panel.content.seen->low >= 0.0)) x.low = 0.0;
  panel.x = {x.low, x.high, panel.plot.left, panel.plot.right};
  return panel;
}

Panel ambient_panel(const NormalBand& band) {
  Panel panel;
  panel.content = over_ambient(band);
  panel.plot = {508.0, k_plot_top, 880.0, k_plot_bottom};
  panel.condition = "outside temperature";
  panel.heading = "Coolant against outside temperature";
  panel.label = "outside temperature (°C)";
  panel.effect = effect_words(panel, band);
  panel.empty = empty_words(panel, band);
  const Range x = width_of(panel.content, 3.0);
  panel.x = {x.low, x.high, panel.plot.left, panel.plot.right};
  return panel;
}

std::array<Spot, 2> line_of(const DrivePoint& drive, bool is_load) {
  if (!is_load)
    return {Spot{drive.x, drive.level_c - drive.scatter_c},
            Spot{drive.x, drive.level_c + drive.scatter_c}};
  const Range seen = drive.seen.value_or(Range{drive.x, drive.x});
  const double slope = drive.slope.value_or(0.0);
  return {Spot{seen.low, drive.level_c + slope * (seen.low - drive.x)},
          Spot{seen.high, drive.level_c + slope * (seen.high - drive.x)}};
}

Prediction predicted(const Predictor& predictor, const Panel& panel, double x) {
  Conditions conditions;
  (panel.is_load ? conditions.load_pct : conditions.ambient_c) = x;
  return predictor.at(conditions);
}

Range height_of(const NormalBand& band, const std::array<Panel, 2>& panels) {
  const Predictor predictor(band);
  Range range{band.centre_c - band.half_width_c, band.centre_c + band.half_width_c};
  for (const Panel& panel : panels) {
    if (panel.content.empty()) continue;
    for (const double x : {panel.x.low, panel.x.high}) {
      stretch(range, predicted(predictor, panel, x).lower_c);
      stretch(range, predicted(predictor, panel, x).upper_c);
    }
    for (const DrivePoint& drive : panel.content.drives) {
      if (drive.kind == DriveKind::left_out) continue;
      for (const Spot& end : line_of(drive, panel.is_load)) stretch(range, end.y);
    }
    for (const FoldedPoint& point : panel.content.folded) {
      stretch(range, point.level_c - point.scatter_c);
      stretch(range, point.level_c + point.scatter_c);
    }
  }
  Range all = range;
  for (const Panel& panel : panels) {
    for (const DrivePoint& drive : panel.content.drives) stretch(all, drive.level_c);
  }
  constexpr double k_flattest = 1.5;
  if (all.high - all.low <= k_flattest * (range.high - range.low)) range = all;
  const double room = std::max(0.5, 0.08 * (range.high - range.low));
  return {range.low - room, range.high + room};
}

} // namespace coolband
