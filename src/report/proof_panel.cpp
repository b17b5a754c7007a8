// SPDX-License-Identifier: Apache-2.0
// What the panels of the before and after picture have in common.
#include "report/proof_panel.hpp"

#include "report/picture_colours.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

// Told apart by shape and fill first; the hues are those that colour-blind readers tell apart.
constexpr std::string_view k_proof_ink = "#262626";
constexpr std::string_view k_fault_ink = "#c44e00";
constexpr std::string_view k_doubt_ink = "#8a2f6b";
constexpr std::string_view k_paper = "#ffffff";
constexpr std::size_t k_most_drives = 40;
/// Of small print, with some room, px.
constexpr double k_letter_px = 6.2;

std::vector<ProofDrive> latest(const std::vector<ProofDrive>& drives) {
  const std::size_t left = drives.size() - std::min(drives.size(), k_most_drives);
  return {drives.begin() + static_cast<std::ptrdiff_t>(left), drives.end()};
}

void draw_box(SvgCanvas& canvas, const Box& box, const Paint& paint) {
  canvas.path(
      {{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}},
      true, paint);
}

void draw_across(SvgCanvas& canvas, const ProofPanel& panel, double value, const Paint& paint) {
  const double y = panel.y.within(value);
  canvas.line({panel.plot.left, y}, {panel.plot.right, y}, paint);
}

void draw_triangle(SvgCanvas& canvas, Spot at, const Paint& paint) {
  canvas.path({{at.x, at.y - 6.0}, {at.x + 6.0, at.y + 4.5}, {at.x - 6.0, at.y + 4.5}}, true,
              paint);
}

void draw_diamond(SvgCanvas& canvas, Spot at, const Paint& paint) {
  canvas.path({{at.x, at.y - 6.5}, {at.x + 6.5, at.y}, {at.x, at.y + 6.5}, {at.x - 6.5, at.y}},
              true, paint);
}

std::string drive_label(const ProofDrive& drive, std::size_t longest) {
  constexpr std::size_t k_day = 10;
  if (drive.start.size() >= k_day && drive.start[4] == '-') return drive.start.substr(2, k_day - 2);
  return shortened(drive.source, longest);
}

} // namespace

double ProofSide::x_of(std::size_t i) const {
  return from_px + step_px * (static_cast<double>(i) + 0.5);
}
double ProofSide::mean_px() const { return x_of(drives.size()); }
double ProofSide::end_px() const {
  return from_px + step_px * static_cast<double>(drives.size() + 1);
}

ProofSides proof_sides(const Verification& verification, double left, double right) {
  ProofSides sides{{latest(verification.drives.before), left, 0.0},
                   {latest(judged_after(verification)), left, 0.0}};
  // A place for the mean behind the drives of each side.
  const auto places =
      static_cast<double>(sides.before.drives.size() + sides.after.drives.size() + 2);
  sides.before.step_px = sides.after.step_px = (right - left) / places;
  sides.after.from_px = sides.before.end_px();
  return sides;
}

void draw_panel_frame(SvgCanvas& canvas, const ProofPanel& panel, const std::string& label,
                      std::size_t most_ticks,
                      const std::function<std::string(double, int)>& words_of) {
  const Box& plot = panel.plot;
  const Ticks ticks = nice_ticks(panel.y.low, panel.y.high, most_ticks);
  for (const double value : ticks.values) {
    const double y = panel.y.at(value);
    canvas.line({plot.left - 5.0, y}, {plot.left, y}, {.stroke = k_note});
    canvas.text({plot.left - 9.0, y + 4.0}, words_of(value, ticks.decimals),
                {.anchor = Anchor::end});
  }
  canvas.text({22.0, 0.5 * (plot.top + plot.bottom)}, label,
              {.anchor = Anchor::middle, .upward = true});
  draw_box(canvas, plot, {.stroke = k_note});
}

void draw_panel_zone(SvgCanvas& canvas, const ProofPanel& panel, double low, double high) {
  draw_box(canvas, {panel.plot.left, panel.y.within(high), panel.plot.right, panel.y.within(low)},
           {.fill = k_band_fill, .stroke = k_band_edge});
}

void draw_panel_usual(SvgCanvas& canvas, const ProofPanel& panel, double value) {
  draw_across(canvas, panel, value, {.stroke = k_centre, .width = 2.0});
}

void draw_panel_allowed(SvgCanvas& canvas, const ProofPanel& panel, double value) {
  draw_across(canvas, panel, value, {.stroke = k_centre, .width = 1.6, .dash = "7 4"});
}

void draw_drive_names(SvgCanvas& canvas, const ProofPanel& panel, const ProofSide& side) {
  const auto every = static_cast<std::size_t>(std::ceil(62.0 / side.step_px));
  const auto longest = static_cast<std::size_t>(
      std::clamp(static_cast<double>(every) * side.step_px / k_letter_px, 10.0, 24.0));
  for (std::size_t i = 0; i < side.drives.size(); i += every) {
    canvas.text({side.x_of(i), panel.plot.bottom + 16.0}, drive_label(side.drives[i], longest),
                {.size = k_small_print, .anchor = Anchor::middle, .colour = k_note});
  }
}

void draw_panel_mean(SvgCanvas& canvas, const ProofPanel& panel, const ProofSide& side, double mean,
                     const std::optional<Range>& interval, const std::string& words) {
  const double x = side.mean_px();
  const Paint paint{.stroke = k_centre, .width = 3.0};
  if (interval && std::isfinite(interval->low) && std::isfinite(interval->high)) {
    const double low = panel.y.within(interval->low);
    const double high = panel.y.within(interval->high);
    canvas.line({x, low}, {x, high}, paint);
    for (const double y : {low, high}) canvas.line({x - 7.0, y}, {x + 7.0, y}, paint);
  }
  draw_mean_mark(canvas, {x, panel.y.within(mean)});
  canvas.text({x, panel.plot.bottom + 16.0}, words,
              {.size = k_small_print, .anchor = Anchor::middle, .bold = true});
}

void draw_showing(SvgCanvas& canvas, Spot at, Showing showing) {
  switch (showing) {
  case Showing::clean: canvas.circle(at, 4.2, {.fill = k_proof_ink, .stroke = k_paper}); break;
  case Showing::shows: draw_triangle(canvas, at, {.fill = k_fault_ink, .stroke = k_paper}); break;
  case Showing::doubtful:
    draw_diamond(canvas, at, {.fill = k_paper, .stroke = k_doubt_ink, .width = 1.8});
    break;
  case Showing::cannot_tell:
    canvas.circle(at, 4.2, {.fill = k_paper, .stroke = k_proof_ink, .width = 1.6});
    break;
  }
}

void draw_untold(SvgCanvas& canvas, Spot at) {
  const Paint paint{.stroke = k_note, .width = 1.8};
  canvas.line({at.x - 4.5, at.y - 4.5}, {at.x + 4.5, at.y + 4.5}, paint);
  canvas.line({at.x - 4.5, at.y + 4.5}, {at.x + 4.5, at.y - 4.5}, paint);
}

void draw_mean_mark(SvgCanvas& canvas, Spot at) {
  draw_diamond(canvas, at, {.fill = k_centre, .stroke = k_paper});
}

void draw_endless(SvgCanvas& canvas, Spot at) {
  const Paint paint{.stroke = k_fault_ink, .width = 2.2};
  canvas.line({at.x, at.y + 7.0}, {at.x, at.y - 6.0}, paint);
  canvas.path({{at.x - 5.0, at.y - 1.0}, {at.x, at.y - 7.0}, {at.x + 5.0, at.y - 1.0}}, false,
              paint);
}

} // namespace coolband
