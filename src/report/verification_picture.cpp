// SPDX-License-Identifier: Apache-2.0
// Before and after in one picture: a mark a drive, over the vehicle's normal.
#include "report/band_words.hpp"
#include "report/picture_colours.hpp"
#include "report/svg_canvas.hpp"
#include "report/verification_report.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

// Told apart by shape and fill first; the hues are those that colour-blind readers tell apart.
constexpr std::string_view k_proof_ink = "#262626";
constexpr std::string_view k_fault_ink = "#c44e00";
constexpr std::string_view k_doubt_ink = "#8a2f6b";
constexpr double k_proof_width = 900.0;
constexpr double k_height = 470.0;
constexpr Box k_plot{76.0, 84.0, 880.0, 344.0};
constexpr double k_proof_legend_top = 410.0;
constexpr std::size_t k_most_drives = 40;
/// An interval as wide as that of two drives can be runs out of the picture, K.
constexpr double k_widest_k = 60.0;

using Drives = std::vector<ProofDrive>;

Drives latest(const Drives& drives) {
  const std::size_t left = drives.size() - std::min(drives.size(), k_most_drives);
  return {drives.begin() + static_cast<std::ptrdiff_t>(left), drives.end()};
}

/// One side of the picture: where its drives stand, and behind them the mean.
struct Side {
  Drives drives;
  double from_px = 0.0;
  double step_px = 0.0;

  [[nodiscard]] double x_of(std::size_t i) const {
    return from_px + step_px * (static_cast<double>(i) + 0.5);
  }
  [[nodiscard]] double mean_px() const { return x_of(drives.size()); }
  [[nodiscard]] double end_px() const {
    return from_px + step_px * static_cast<double>(drives.size() + 1);
  }
};

struct Picture {
  const VerificationReport& report;
  Side before;
  Side after;
  Scale y;
};

Scale height_of(const VerificationReport& report, const Drives& before, const Drives& after) {
  const double normal_k = std::max(report.band.half_width_c, report.verification.level.margin_k);
  double low = -1.2 * normal_k;
  double high = 1.2 * normal_k;
  for (const Drives* drives : {&before, &after}) {
    for (const ProofDrive& drive : *drives) {
      if (!drive.residual_k) continue;
      low = std::min(low, *drive.residual_k - 1.0);
      high = std::max(high, *drive.residual_k + 1.0);
    }
  }
  const LevelCheck& level = report.verification.level;
  for (const Equivalence* test : {level.before ? &*level.before : nullptr, &level.against_band}) {
    if (test == nullptr || !(std::abs(test->low) + std::abs(test->high) < k_widest_k)) continue;
    low = std::min(low, test->low - 0.5);
    high = std::max(high, test->high + 0.5);
  }
  return {low, high, k_plot.bottom, k_plot.top};
}

Picture laid_out(const VerificationReport& report) {
  Picture picture{report, {}, {}, {}};
  picture.before.drives = latest(report.verification.drives.before);
  picture.after.drives = latest(judged_after(report.verification));
  // A place for the mean behind the drives of each side.
  const auto places =
      static_cast<double>(picture.before.drives.size() + picture.after.drives.size() + 2);
  const double step_px = (k_plot.right - k_plot.left) / places;
  picture.before.from_px = k_plot.left;
  picture.before.step_px = picture.after.step_px = step_px;
  picture.after.from_px = picture.before.end_px();
  picture.y = height_of(report, picture.before.drives, picture.after.drives);
  return picture;
}

void rectangle(SvgCanvas& canvas, const Box& box, const Paint& paint) {
  canvas.path(
      {{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}},
      true, paint);
}

void level_line(SvgCanvas& canvas, const Picture& picture, double value, const Paint& paint) {
  const double y = picture.y.within(value);
  canvas.line({k_plot.left, y}, {k_plot.right, y}, paint);
}

void draw_normal(SvgCanvas& canvas, const Picture& picture) {
  const NormalBand& band = picture.report.band;
  const double margin_k = picture.report.verification.level.margin_k;
  rectangle(canvas,
            {k_plot.left, picture.y.within(band.half_width_c), k_plot.right,
             picture.y.within(-band.half_width_c)},
            {.fill = k_band_fill, .stroke = k_band_edge});
  for (const double side : {-margin_k, margin_k})
    level_line(canvas, picture, side, {.stroke = k_centre, .width = 1.6, .dash = "7 4"});
  level_line(canvas, picture, 0.0, {.stroke = k_centre, .width = 2.0});
}

void draw_frame(SvgCanvas& canvas, const Picture& picture) {
  const Ticks ticks = nice_ticks(picture.y.low, picture.y.high, 8);
  for (const double value : ticks.values) {
    const double y = picture.y.at(value);
    canvas.line({k_plot.left - 5.0, y}, {k_plot.left, y}, {.stroke = k_note});
    const std::string words = value == 0.0 ? "0" : fmt::format("{:+.{}f}", value, ticks.decimals);
    canvas.text({k_plot.left - 9.0, y + 4.0}, words, {.anchor = Anchor::end});
  }
  canvas.text({22.0, 0.5 * (k_plot.top + k_plot.bottom)}, "coolant less what is usual (K)",
              {.anchor = Anchor::middle, .upward = true});
  rectangle(canvas, k_plot, {.stroke = k_note});
}

void draw_triangle(SvgCanvas& canvas, Spot at, const Paint& paint) {
  canvas.path({{at.x, at.y - 6.0}, {at.x + 6.0, at.y + 4.5}, {at.x - 6.0, at.y + 4.5}}, true,
              paint);
}

void draw_diamond(SvgCanvas& canvas, Spot at, const Paint& paint) {
  canvas.path({{at.x, at.y - 6.5}, {at.x + 6.5, at.y}, {at.x, at.y + 6.5}, {at.x - 6.5, at.y}},
              true, paint);
}

void draw_cross(SvgCanvas& canvas, Spot at) {
  const Paint paint{.stroke = k_note, .width = 1.8};
  canvas.line({at.x - 4.5, at.y - 4.5}, {at.x + 4.5, at.y + 4.5}, paint);
  canvas.line({at.x - 4.5, at.y + 4.5}, {at.x + 4.5, at.y - 4.5}, paint);
}

void draw_mark(SvgCanvas& canvas, Spot at, Showing showing) {
  switch (showing) {
  case Showing::clean: canvas.circle(at, 4.2, {.fill = k_proof_ink, .stroke = "#ffffff"}); break;
  case Showing::shows: draw_triangle(canvas, at, {.fill = k_fault_ink, .stroke = "#ffffff"}); break;
  case Showing::doubtful:
    draw_diamond(canvas, at, {.fill = "#ffffff", .stroke = k_doubt_ink, .width = 1.8});
    break;
  case Showing::cannot_tell:
    canvas.circle(at, 4.2, {.fill = "#ffffff", .stroke = k_proof_ink, .width = 1.6});
    break;
  }
}

Spot place_of(const Picture& picture, const Side& side, std::size_t i) {
  const auto& residual = side.drives[i].residual_k;
  // What has no level stands on the floor of the picture.
  return {side.x_of(i), residual ? picture.y.within(*residual) : k_plot.bottom - 8.0};
}

/// Of small print, with some room, px.
constexpr double k_letter_px = 6.2;

std::string label_of(const ProofDrive& drive, std::size_t longest) {
  constexpr std::size_t k_day = 10;
  if (drive.start.size() >= k_day && drive.start[4] == '-') return drive.start.substr(2, k_day - 2);
  return shortened(drive.source, longest);
}

void draw_drives(SvgCanvas& canvas, const Picture& picture, const Side& side) {
  const auto every = static_cast<std::size_t>(std::ceil(62.0 / side.step_px));
  const auto longest = static_cast<std::size_t>(
      std::clamp(static_cast<double>(every) * side.step_px / k_letter_px, 10.0, 24.0));
  for (std::size_t i = 0; i < side.drives.size(); ++i) {
    const Spot at = place_of(picture, side, i);
    if (side.drives[i].residual_k)
      draw_mark(canvas, at, side.drives[i].showing);
    else
      draw_cross(canvas, at);
    if (i % every == 0)
      canvas.text({at.x, k_plot.bottom + 16.0}, label_of(side.drives[i], longest),
                  {.size = k_small_print, .anchor = Anchor::middle, .colour = k_note});
  }
}

/// The mean of a side with its 90 % interval.
void draw_mean(SvgCanvas& canvas, const Picture& picture, const Side& side,
               const Equivalence& test) {
  const double x = side.mean_px();
  const Paint paint{.stroke = k_centre, .width = 3.0};
  if (std::isfinite(test.low)) {
    const double low = picture.y.within(test.low);
    const double high = picture.y.within(test.high);
    canvas.line({x, low}, {x, high}, paint);
    for (const double y : {low, high}) canvas.line({x - 7.0, y}, {x + 7.0, y}, paint);
  }
  draw_diamond(canvas, {x, picture.y.within(test.difference)},
               {.fill = k_centre, .stroke = "#ffffff"});
  canvas.text({x, k_plot.bottom + 16.0}, fmt::format("mean {:+.1f}", test.difference),
              {.size = k_small_print, .anchor = Anchor::middle, .bold = true});
}

void draw_side_name(SvgCanvas& canvas, const Side& side, const std::string& name) {
  canvas.text({0.5 * (side.from_px + side.end_px()), k_plot.top - 8.0}, name,
              {.size = 13.0, .anchor = Anchor::middle, .bold = true});
}

void draw_legend(SvgCanvas& canvas, const Picture& picture) {
  const LevelCheck& level = picture.report.verification.level;
  double y = k_proof_legend_top;
  double x = 22.0;
  const auto say = [&](const std::string& words) {
    canvas.text({x + 34.0, y + 4.0}, words);
    x += 34.0 + text_width(words, 12.0) + 18.0;
  };
  rectangle(canvas, {x, y - 6.0, x + 26.0, y + 6.0}, {.fill = k_band_fill, .stroke = k_band_edge});
  say(fmt::format("normal running, ±{:.1f} K", picture.report.band.half_width_c));
  canvas.line({x, y}, {x + 26.0, y}, {.stroke = k_centre, .width = 1.6, .dash = "7 4"});
  say(fmt::format("margin of the means, ±{:.1f} K", level.margin_k));
  draw_diamond(canvas, {x + 13.0, y}, {.fill = k_centre, .stroke = "#ffffff"});
  say("mean of the drives, 90 % interval");
  x = 22.0;
  y += 24.0;
  const std::pair<Showing, const char*> marks[] = {{Showing::clean, "clean drive"},
                                                   {Showing::shows, "shows a fault"},
                                                   {Showing::doubtful, "doubtful"},
                                                   {Showing::cannot_tell, "cannot tell"}};
  for (const auto& [showing, words] : marks) {
    draw_mark(canvas, {x + 13.0, y}, showing);
    say(words);
  }
  draw_cross(canvas, {x + 13.0, y});
  say("tells no level");
}

} // namespace

std::string picture_words(const VerificationReport& report) {
  const Verification& v = report.verification;
  std::string words = fmt::format(
      "Level of each drive less what is usual for load and weather: {} before, {} after.",
      plural(v.drives.before.size(), "drive"), plural(judged_after(v).size(), "drive"));
  if (v.level.before) words += fmt::format(" Mean before {:+.1f} K.", v.level.before->difference);
  if (v.level.level_c) {
    words += fmt::format(" Mean after {:+.1f} K", v.level.against_band.difference);
    if (std::isfinite(v.level.against_band.low))
      words += fmt::format(", 90 % interval {:+.1f} to {:+.1f} K", v.level.against_band.low,
                           v.level.against_band.high);
    words += ".";
  }
  return words + fmt::format(" Margin {:.1f} K.", v.level.margin_k);
}

std::string draw_verification(const VerificationReport& report) {
  const Verification& v = report.verification;
  const Picture picture = laid_out(report);
  const std::string vehicle = report.vehicle.empty() ? "" : shortened(report.vehicle, 32) + ": ";
  SvgCanvas canvas("verification", {k_proof_width, k_height},
                   vehicle + "before and after the repair, " + std::string(name_of(v.state)),
                   picture_words(report));
  canvas.text({22.0, 30.0}, vehicle + "before and after the repair", {.size = 17.0, .bold = true});
  canvas.text({22.0, 50.0}, shortened(v.headline, 125), {.colour = k_note});
  draw_normal(canvas, picture);
  draw_frame(canvas, picture);
  const double between = picture.after.from_px;
  canvas.line({between, k_plot.top - 18.0}, {between, k_plot.bottom + 22.0},
              {.stroke = k_proof_ink, .width = 1.4, .dash = "2 3"});
  draw_side_name(canvas, picture.before,
                 picture.before.drives.empty() ? "no drives before" : "before");
  draw_side_name(canvas, picture.after, "after");
  draw_drives(canvas, picture, picture.before);
  draw_drives(canvas, picture, picture.after);
  if (v.level.before) draw_mean(canvas, picture, picture.before, *v.level.before);
  if (v.level.level_c) draw_mean(canvas, picture, picture.after, v.level.against_band);
  draw_legend(canvas, picture);
  return canvas.take();
}

} // namespace coolband
