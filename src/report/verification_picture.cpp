// SPDX-License-Identifier: Apache-2.0
// Before and after in one picture: a mark a drive, its level over the vehicle's normal, and below
// that how long its warm-up took.
#include "core/signed_tenths.hpp"
#include "report/band_words.hpp"
#include "report/picture_colours.hpp"
#include "report/proof_panel.hpp"
#include "report/verification_report.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr double k_proof_width = 900.0;
constexpr double k_proof_left = 76.0;
constexpr double k_proof_right = 880.0;
constexpr Box k_level_plot{k_proof_left, 84.0, k_proof_right, 344.0};
constexpr Box k_warm_up_plot{k_proof_left, 388.0, k_proof_right, 528.0};
/// From the lowest plot to the legend, and from line to line in that.
constexpr double k_legend_gap = 52.0;
constexpr double k_legend_step = 24.0;
/// An interval as wide as that of two drives can be runs out of the picture, K.
constexpr double k_widest_k = 60.0;

struct ProofPicture {
  const VerificationReport& report;
  ProofSides sides;
  bool warm_ups; ///< some drive tells of one

  [[nodiscard]] double plots_bottom() const {
    return warm_ups ? k_warm_up_plot.bottom : k_level_plot.bottom;
  }
  [[nodiscard]] double legend_top() const { return plots_bottom() + k_legend_gap; }
  [[nodiscard]] double bottom() const {
    return legend_top() + (warm_ups ? 3.0 : 2.0) * k_legend_step;
  }
};

Scale height_of(const VerificationReport& report, const ProofSides& sides) {
  const double normal_k = std::max(report.band.half_width_c, report.verification.level.margin_k);
  double low = -1.2 * normal_k;
  double high = 1.2 * normal_k;
  for (const ProofSide* side : {&sides.before, &sides.after}) {
    for (const ProofDrive& drive : side->drives) {
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
  return {low, high, k_level_plot.bottom, k_level_plot.top};
}

void draw_levels_of(SvgCanvas& canvas, const ProofPanel& panel, const ProofSide& side) {
  for (std::size_t i = 0; i < side.drives.size(); ++i) {
    const auto& residual = side.drives[i].residual_k;
    // What has no level stands on the floor of the picture.
    if (residual)
      draw_showing(canvas, {side.x_of(i), panel.y.within(*residual)}, side.drives[i].showing);
    else
      draw_untold(canvas, {side.x_of(i), panel.plot.bottom - 8.0});
  }
  draw_drive_names(canvas, panel, side);
}

void draw_level_mean(SvgCanvas& canvas, const ProofPanel& panel, const ProofSide& side,
                     const Equivalence& test) {
  draw_panel_mean(canvas, panel, side, test.difference, Range{test.low, test.high},
                  "mean " + signed_tenths(test.difference));
}

void draw_levels(SvgCanvas& canvas, const ProofPicture& picture) {
  const VerificationReport& report = picture.report;
  const LevelCheck& level = report.verification.level;
  const ProofPanel panel{k_level_plot, height_of(report, picture.sides)};
  draw_panel_zone(canvas, panel, -report.band.half_width_c, report.band.half_width_c);
  for (const double side : {-level.margin_k, level.margin_k})
    draw_panel_allowed(canvas, panel, side);
  draw_panel_usual(canvas, panel, 0.0);
  draw_panel_frame(canvas, panel, "coolant less what is usual (K)", 8,
                   [](double value, int decimals) {
                     return value == 0.0 ? "0" : fmt::format("{:+.{}f}", value, decimals);
                   });
  draw_levels_of(canvas, panel, picture.sides.before);
  draw_levels_of(canvas, panel, picture.sides.after);
  if (level.before) draw_level_mean(canvas, panel, picture.sides.before, *level.before);
  if (level.level_c) draw_level_mean(canvas, panel, picture.sides.after, level.against_band);
}

void draw_side_name(SvgCanvas& canvas, const ProofSide& side, const std::string& name) {
  canvas.text({0.5 * (side.from_px + side.end_px()), k_level_plot.top - 8.0}, name,
              {.size = 13.0, .anchor = Anchor::middle, .bold = true});
}

/// Before and after are told apart by this line and their names, through all panels.
void draw_repair(SvgCanvas& canvas, const ProofPicture& picture) {
  const double between = picture.sides.after.from_px;
  canvas.line({between, k_level_plot.top - 18.0}, {between, picture.plots_bottom() + 22.0},
              {.stroke = "#262626", .width = 1.4, .dash = "2 3"});
  draw_side_name(canvas, picture.sides.before,
                 picture.sides.before.drives.empty() ? "no drives before" : "before");
  draw_side_name(canvas, picture.sides.after, "after");
}

/// Samples with their words, from left to right and line by line.
class ProofLegend {
 public:
  ProofLegend(SvgCanvas& canvas, double top) : canvas_(canvas), at_{22.0, top} {}
  [[nodiscard]] Spot sample() const { return {at_.x + 13.0, at_.y}; }
  void zone() {
    canvas_.path({{at_.x, at_.y - 6.0},
                  {at_.x + 26.0, at_.y - 6.0},
                  {at_.x + 26.0, at_.y + 6.0},
                  {at_.x, at_.y + 6.0}},
                 true, {.fill = k_band_fill, .stroke = k_band_edge});
  }
  void dashes(double up) {
    canvas_.line({at_.x, at_.y - up}, {at_.x + 26.0, at_.y - up},
                 {.stroke = k_centre, .width = 1.6, .dash = "7 4"});
  }
  void say(const std::string& words) {
    canvas_.text({at_.x + 34.0, at_.y + 4.0}, words);
    at_.x += 34.0 + text_width(words, 12.0) + 18.0;
  }
  void next_line() { at_ = {22.0, at_.y + k_legend_step}; }

 private:
  SvgCanvas& canvas_;
  Spot at_;
};

void draw_legend_of_warm_ups(SvgCanvas& canvas, ProofLegend& legend, const WarmUpCheck& check) {
  legend.next_line();
  if (check.allowed_ratio > 0.0) {
    legend.zone();
    legend.dashes(6.0);
    legend.say(
        fmt::format("warm-up: up to {:.2f} times the usual time is allowed", check.allowed_ratio));
  }
  draw_endless(canvas, legend.sample());
  legend.say("warm-up that never came to its level");
}

void draw_legend(SvgCanvas& canvas, const ProofPicture& picture) {
  const Verification& v = picture.report.verification;
  ProofLegend legend(canvas, picture.legend_top());
  legend.zone();
  legend.say(fmt::format("normal running, ±{:.1f} K", picture.report.band.half_width_c));
  legend.dashes(0.0);
  legend.say(fmt::format("margin of the means, ±{:.1f} K", v.level.margin_k));
  draw_mean_mark(canvas, legend.sample());
  legend.say("mean of the drives, 90 % interval");
  legend.next_line();
  const std::pair<Showing, const char*> marks[] = {{Showing::clean, "clean drive"},
                                                   {Showing::shows, "shows a fault"},
                                                   {Showing::doubtful, "doubtful"},
                                                   {Showing::cannot_tell, "cannot tell"}};
  for (const auto& [showing, words] : marks) {
    draw_showing(canvas, legend.sample(), showing);
    legend.say(words);
  }
  draw_untold(canvas, legend.sample());
  legend.say(picture.warm_ups ? "tells no level, or no warm-up" : "tells no level");
  if (picture.warm_ups) draw_legend_of_warm_ups(canvas, legend, v.warm_up);
}

/// "; 3 of them never came to their level"
std::string warm_up_side_words(const std::vector<ProofDrive>& drives, const std::string& side) {
  double sum = 0.0;
  std::size_t ended = 0;
  std::size_t endless = 0;
  for (const ProofDrive& drive : drives) {
    if (const auto ratio = warm_up_ratio(drive)) {
      sum += *ratio;
      ++ended;
    } else if (drive.warm_up && drive.warm_up->given_time) {
      ++endless;
    }
  }
  std::string words;
  if (ended > 0)
    words += fmt::format(" {} {} took {:.2f} times the usual time on average.",
                         plural(ended, "warm-up"), side, sum / static_cast<double>(ended));
  if (endless > 0)
    words += fmt::format(" {} {} never came to the level.", plural(endless, "warm-up"), side);
  return words;
}

std::string warm_up_picture_words(const Verification& v) {
  if (!tells_warm_ups(v)) return "";
  std::string words =
      warm_up_side_words(v.drives.before, "before") + warm_up_side_words(judged_after(v), "after");
  if (v.warm_up.allowed_ratio > 0.0)
    words += fmt::format(" Up to {:.2f} times is allowed.", v.warm_up.allowed_ratio);
  return words;
}

} // namespace

std::string picture_words(const VerificationReport& report) {
  const Verification& v = report.verification;
  std::string words = fmt::format(
      "Level of each drive less what is usual for load and weather: {} before, {} after.",
      plural(v.drives.before.size(), "drive"), plural(judged_after(v).size(), "drive"));
  if (v.level.before)
    words += fmt::format(" Mean before {} K.", signed_tenths(v.level.before->difference));
  if (v.level.level_c) {
    const Equivalence& test = v.level.against_band;
    words += fmt::format(" Mean after {} K", signed_tenths(test.difference));
    if (std::isfinite(test.low))
      words += fmt::format(", 90 % interval {} to {} K", signed_tenths(test.low),
                           signed_tenths(test.high));
    words += ".";
  }
  return words + fmt::format(" Margin {:.1f} K.", v.level.margin_k) + warm_up_picture_words(v);
}

std::string draw_verification(const VerificationReport& report) {
  const Verification& v = report.verification;
  const ProofPicture picture{report, proof_sides(v, k_proof_left, k_proof_right),
                             tells_warm_ups(v)};
  const std::string vehicle = report.vehicle.empty() ? "" : shortened(report.vehicle, 32) + ": ";
  SvgCanvas canvas("verification", {k_proof_width, picture.bottom()},
                   vehicle + "before and after the repair, " + std::string(name_of(v.state)),
                   picture_words(report));
  canvas.text({22.0, 30.0}, vehicle + "before and after the repair", {.size = 17.0, .bold = true});
  canvas.text({22.0, 50.0}, shortened(v.headline, 125), {.colour = k_note});
  draw_levels(canvas, picture);
  if (picture.warm_ups) draw_warm_ups(canvas, k_warm_up_plot, picture.sides, v.warm_up);
  draw_repair(canvas, picture);
  draw_legend(canvas, picture);
  return canvas.take();
}

} // namespace coolband
