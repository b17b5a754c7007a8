// SPDX-License-Identifier: Apache-2.0
// The band as a picture: coolant over load and over outside temperature, with the drives.

#include "coolband/report/report.hpp"
#include "report/band_panel.hpp"
#include "report/band_words.hpp"
#include "report/picture_colours.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <functional>
#include <string>
#include <vector>

namespace coolband {

namespace {

// Told apart by shape and lightness first; the hues are those that colour-blind readers tell apart.
constexpr std::string_view k_hatching = "#93b8d3";
constexpr std::string_view k_earlier = "#a9a9a9";
constexpr std::string_view k_unseen_dash = "3 3";
constexpr std::array<std::string_view, 3> k_kind_ink{"#262626", "#c44e00", "#8a2f6b"};
constexpr double k_band_width = 900.0;
constexpr double k_band_margin = 20.0;
constexpr double k_band_left = 22.0;
constexpr double k_band_legend_top = 402.0;
constexpr double k_band_row = 20.0;

std::string_view ink_of(DriveKind kind) { return k_kind_ink.at(static_cast<std::size_t>(kind)); }

/// A part of the panel's condition.
struct Piece {
  Range range;
  bool seen = false;
};

std::vector<Piece> pieces_of(const Panel& panel) {
  const auto& seen = panel.content.seen;
  if (!seen || !(seen->low <= seen->high)) return {{{panel.x.low, panel.x.high}, false}};
  const Range known{std::clamp(seen->low, panel.x.low, panel.x.high),
                    std::clamp(seen->high, panel.x.low, panel.x.high)};
  std::vector<Piece> pieces;
  if (known.low > panel.x.low) pieces.push_back({{panel.x.low, known.low}, false});
  if (known.high < panel.x.high) pieces.push_back({{known.high, panel.x.high}, false});
  pieces.push_back({known, true});
  return pieces;
}

void draw_band_area(SvgCanvas& canvas, const Panel& panel, const NormalBand& band,
                    std::string_view hatched) {
  constexpr int k_steps = 12;
  const Predictor predictor(band);
  for (const auto& [piece, seen] : pieces_of(panel)) {
    std::vector<Spot> lower;
    std::vector<Spot> upper;
    for (int i = 0; i <= k_steps; ++i) {
      const double x = piece.low + (piece.high - piece.low) * static_cast<double>(i) / k_steps;
      const Prediction here = predicted(predictor, panel, x);
      lower.push_back({panel.x.within(x), panel.y.within(here.lower_c)});
      upper.push_back({panel.x.within(x), panel.y.within(here.upper_c)});
    }
    std::vector<Spot> area = upper;
    area.insert(area.end(), lower.rbegin(), lower.rend());
    const Paint edge{.stroke = k_band_edge, .dash = seen ? "" : k_unseen_dash};
    canvas.path(area, true, {.fill = seen ? k_band_fill : hatched});
    canvas.path(lower, false, edge);
    canvas.path(upper, false, edge);
  }
}

/// What is expected is a straight line.
void draw_centre(SvgCanvas& canvas, const Panel& panel, const NormalBand& band) {
  const Predictor predictor(band);
  const auto at = [&](double x) {
    return Spot{panel.x.within(x), panel.y.within(predicted(predictor, panel, x).centre_c)};
  };
  for (const auto& [piece, seen] : pieces_of(panel))
    canvas.line(at(piece.low), at(piece.high),
                {.stroke = k_centre, .width = 2.2, .dash = seen ? "" : "6 4"});
}

void draw_mark(SvgCanvas& canvas, Spot at, DriveKind kind) {
  const std::string_view ink = ink_of(kind);
  switch (kind) {
  case DriveKind::sound: canvas.circle(at, 3.2, {.fill = ink}); break;
  case DriveKind::since_drift:
    canvas.path({{at.x, at.y - 5.5}, {at.x + 5.5, at.y + 4.0}, {at.x - 5.5, at.y + 4.0}}, true,
                {.fill = ink, .stroke = "#ffffff"});
    break;
  case DriveKind::left_out:
    canvas.path({{at.x, at.y - 6.0}, {at.x + 6.0, at.y}, {at.x, at.y + 6.0}, {at.x - 6.0, at.y}},
                true, {.fill = "#ffffff", .stroke = ink, .width = 1.8});
    break;
  }
}

/// For a drive that lies off the picture: an open arrow to where it lies.
void draw_edge_mark(SvgCanvas& canvas, Spot at, bool below) {
  const double tip = below ? 7.0 : -7.0;
  canvas.path({{at.x, at.y + tip}, {at.x + 6.0, at.y - 0.5 * tip}, {at.x - 6.0, at.y - 0.5 * tip}},
              true, {.fill = "#ffffff", .stroke = ink_of(DriveKind::left_out), .width = 1.8});
}

Spot place_of(const Panel& panel, const DrivePoint& drive) {
  constexpr double k_from_edge = 9.0;
  const double x = panel.x.within(drive.x);
  if (drive.level_c < panel.y.low) return {x, panel.plot.bottom - k_from_edge};
  if (drive.level_c > panel.y.high) return {x, panel.plot.top + k_from_edge};
  return {x, panel.y.at(drive.level_c)};
}

/// Many lines are thin and pale, or they would hide each other and the band.
Paint line_paint(DriveKind kind, std::size_t drives) {
  constexpr std::size_t k_crowd = 20;
  const bool pale = drives > k_crowd && kind == DriveKind::sound;
  return {.stroke = pale ? "#7d7d7d" : ink_of(kind),
          .width = drives > k_crowd ? 0.8 : 1.3,
          .dash = kind == DriveKind::left_out ? "4 3" : ""};
}

void draw_drive_line(SvgCanvas& canvas, const Panel& panel, const DrivePoint& drive) {
  if (panel.is_beyond(drive)) return;
  const auto [from, to] = line_of(drive, panel.is_load);
  const auto line = clipped(panel.plot, {panel.x.at(from.x), panel.y.at(from.y)},
                            {panel.x.at(to.x), panel.y.at(to.y)});
  if (line)
    canvas.line(line->first, line->second, line_paint(drive.kind, panel.content.drives.size()));
}

void draw_drive_mark(SvgCanvas& canvas, const Panel& panel, const DrivePoint& drive) {
  const Spot at = place_of(panel, drive);
  if (panel.is_beyond(drive))
    draw_edge_mark(canvas, at, drive.level_c < panel.y.low);
  else
    draw_mark(canvas, at, drive.kind);
}

/// Where the long arm of a cross ends: along the slope within these drives.
std::array<Spot, 2> arm_of(const Panel& panel, const FoldedPoint& point) {
  const Range seen = point.seen.value_or(Range{point.x, point.x});
  const auto at = [&](double x) {
    return Spot{panel.x.within(x), panel.y.within(point.level_c + point.slope * (x - point.x))};
  };
  return {at(seen.low), at(seen.high)};
}

void draw_cross(SvgCanvas& canvas, const Panel& panel, const FoldedPoint& point) {
  const Paint paint{.stroke = k_earlier, .width = 6.0};
  const auto [from, to] = arm_of(panel, point);
  const double x = panel.x.within(point.x);
  canvas.line(from, to, paint);
  canvas.line({x, panel.y.within(point.level_c - point.scatter_c)},
              {x, panel.y.within(point.level_c + point.scatter_c)}, paint);
}

/// No label on the arm of a cross.
void block_arm(LabelRoom& room, const std::array<Spot, 2>& arm) {
  constexpr int k_steps = 24;
  constexpr double k_half = 5.0;
  for (int i = 0; i <= k_steps; ++i) {
    const double share = static_cast<double>(i) / k_steps;
    const double x = arm[0].x + share * (arm[1].x - arm[0].x);
    const double y = arm[0].y + share * (arm[1].y - arm[0].y);
    room.block({x - 2.0 * k_half, y - k_half, x + 2.0 * k_half, y + k_half});
  }
}

/// Names of what was left out, and how many drives a cross stands for, where there is room.
void draw_labels(SvgCanvas& canvas, const Panel& panel, bool names) {
  LabelRoom room(panel.plot);
  const auto say = [&](Spot at, const std::string& words, std::string_view ink) {
    const auto place = room.place(at, words, k_small_print);
    if (place) canvas.text(*place, words, {.size = k_small_print, .halo = true, .colour = ink});
  };
  for (const DrivePoint& drive : panel.content.drives) {
    const Spot at = place_of(panel, drive);
    room.block({at.x - 6.0, at.y - 6.0, at.x + 6.0, at.y + 6.0});
  }
  for (const FoldedPoint& point : panel.content.folded) block_arm(room, arm_of(panel, point));
  for (const DrivePoint& drive : panel.content.drives) {
    if (drive.kind != DriveKind::left_out) continue;
    std::string words = names ? shortened(drive.name, 24) : "";
    if (panel.is_beyond(drive))
      words += fmt::format("{}{:.1f} °C", words.empty() ? "" : ", ", drive.own_level_c);
    if (!words.empty()) say(place_of(panel, drive), words, ink_of(DriveKind::left_out));
  }
  for (const FoldedPoint& point : panel.content.folded) {
    const double top = panel.y.within(point.level_c + point.scatter_c);
    say({panel.x.within(point.x), top}, plural(point.count, "earlier drive"), k_note);
  }
}

void draw_nothing(SvgCanvas& canvas, const Panel& panel) {
  const Box& box = panel.plot;
  canvas.path(
      {{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}},
      true, {.fill = "#f6f6f6", .stroke = "#999999", .dash = k_unseen_dash});
  canvas.text({(box.left + box.right) / 2.0, (box.top + box.bottom) / 2.0}, panel.empty,
              {.size = 14.0, .anchor = Anchor::middle});
}

void draw_panel(SvgCanvas& canvas, const Panel& panel, const NormalBand& band, bool names,
                std::string_view hatched) {
  canvas.text({panel.plot.left, 78.0}, panel.heading, {.size = 13.0, .bold = true});
  if (panel.content.empty()) {
    draw_nothing(canvas, panel);
    return;
  }
  const Lettering small{.size = k_small_print, .colour = k_note};
  canvas.text({panel.plot.left, 94.0}, panel.effect, small);
  if (panel.content.without > 0) {
    canvas.text({panel.plot.left, 109.0}, not_drawn(panel), small);
  }
  draw_axes(canvas, panel.plot, {panel.x, panel.label}, {panel.y, "coolant (°C)"});
  draw_band_area(canvas, panel, band, hatched);
  for (const FoldedPoint& point : panel.content.folded) draw_cross(canvas, panel, point);
  for (const DrivePoint& drive : panel.content.drives) draw_drive_line(canvas, panel, drive);
  draw_centre(canvas, panel, band);
  for (const DrivePoint& drive : panel.content.drives) draw_drive_mark(canvas, panel, drive);
  draw_labels(canvas, panel, names);
}

struct LegendItem {
  std::string words;
  std::function<void(SvgCanvas&, Spot)> sample; ///< about a middle, 26 px wide
};

std::size_t count_of(const NormalBand& band, DriveKind kind) {
  const std::size_t since = band.drift ? std::min(band.drift->drives, band.drives.size()) : 0;
  return kind == DriveKind::since_drift ? since : band.drives.size() - since;
}

LegendItem area_item(std::string words, std::string_view fill) {
  return {std::move(words), [fill](SvgCanvas& canvas, Spot at) {
            canvas.path({{at.x - 13.0, at.y - 6.0},
                         {at.x + 13.0, at.y - 6.0},
                         {at.x + 13.0, at.y + 6.0},
                         {at.x - 13.0, at.y + 6.0}},
                        true, {.fill = fill, .stroke = k_band_edge});
          }};
}

LegendItem line_item(std::string words, Paint paint) {
  return {std::move(words), [paint](SvgCanvas& canvas, Spot at) {
            canvas.line({at.x - 13.0, at.y}, {at.x + 13.0, at.y}, paint);
          }};
}

LegendItem drive_item(std::string words, DriveKind kind) {
  return {std::move(words), [kind](SvgCanvas& canvas, Spot at) {
            canvas.line({at.x - 13.0, at.y}, {at.x + 13.0, at.y},
                        {.stroke = ink_of(kind),
                         .width = 1.3,
                         .dash = kind == DriveKind::left_out ? "4 3" : ""});
            draw_mark(canvas, at, kind);
          }};
}

/// The day alone where there is a time of day, too.
std::string short_day(const std::string& start) {
  return start.size() > 10 && start[10] == 'T' ? start.substr(0, 10) : shortened(start, 20);
}

std::string mark_words(const std::array<Panel, 2>& panels) {
  std::string words = ": mean";
  if (!panels[0].content.empty()) words += ", own slope (left)";
  if (!panels[1].content.empty()) words += ", scatter (right)";
  return words;
}

/// What was left out, by the marks that the panels show of it.
void add_left_out(std::vector<LegendItem>& items, const std::array<Panel, 2>& panels) {
  bool within = false;
  bool beyond = false;
  for (const Panel& panel : panels) {
    for (const DrivePoint& drive : panel.content.drives) {
      if (drive.kind == DriveKind::left_out) (panel.is_beyond(drive) ? beyond : within) = true;
    }
  }
  if (within) items.push_back(drive_item("left out", DriveKind::left_out));
  if (beyond)
    items.push_back({"left out, beyond the edge",
                     [](SvgCanvas& canvas, Spot at) { draw_edge_mark(canvas, at, true); }});
}

std::vector<LegendItem> legend_of(const NormalBand& band, const std::array<Panel, 2>& panels,
                                  std::string_view hatched) {
  std::vector<LegendItem> items;
  // Where nothing is drawn there is nothing to explain.
  if (panels[0].content.empty() && panels[1].content.empty()) return items;
  items.push_back(
      area_item(fmt::format("{:.0f} % of normal running", 100.0 * band.content), k_band_fill));
  items.push_back(area_item("conditions that no drive has seen", hatched));
  items.push_back(line_item("expected", {.stroke = k_centre, .width = 2.2}));
  if (const auto count = count_of(band, DriveKind::sound); count > 0)
    items.push_back(drive_item(plural(count, "drive") + mark_words(panels), DriveKind::sound));
  if (const auto count = count_of(band, DriveKind::since_drift); count > 0)
    items.push_back(drive_item(fmt::format("since {}: {:+.1f} K, {}", short_day(band.drift->since),
                                           band.drift->shift_c, plural(count, "drive")),
                               DriveKind::since_drift));
  add_left_out(items, panels);
  if (!band.folded.empty())
    items.push_back(
        line_item("earlier drives: range seen, scatter", {.stroke = k_earlier, .width = 6.0}));
  return items;
}

/// Items one behind the other, in rows. With no canvas, only the number of rows is found.
int lay_out(const std::vector<LegendItem>& items, SvgCanvas* canvas) {
  double x = k_band_left;
  int row = 0;
  for (const LegendItem& item : items) {
    const double width = 34.0 + text_width(item.words, 12.0);
    if (x > k_band_left && x + width > k_band_width - k_band_margin) {
      x = k_band_left;
      ++row;
    }
    const double y = k_band_legend_top + k_band_row * row;
    if (canvas != nullptr) {
      item.sample(*canvas, {x + 13.0, y});
      canvas->text({x + 34.0, y + 4.0}, item.words);
    }
    x += width + 18.0;
  }
  return row + 1;
}

} // namespace

std::string draw_band(const NormalBand& band) {
  std::array<Panel, 2> panels{load_panel(band), ambient_panel(band)};
  const Range height = height_of(band, panels);
  for (Panel& panel : panels)
    panel.y = {height.low, height.high, panel.plot.bottom, panel.plot.top};
  const double rows = lay_out(legend_of(band, panels, "none"), nullptr);
  const std::string vehicle = band.vehicle.empty() ? "" : shortened(band.vehicle, 32) + ": ";
  const std::string title = vehicle + "normal coolant " + limits_words(band);
  SvgCanvas canvas("band", {k_band_width, k_band_legend_top + k_band_row * rows}, title,
                   description_of(band, panels));
  const std::string hatched = canvas.hatching(k_hatching);
  canvas.text({k_band_left, 30.0}, title, {.size = 17.0, .bold = true});
  const std::string conditions = conditions_words(band);
  canvas.text({k_band_left, 50.0},
              (conditions.empty() ? "" : conditions + "; ") + origin_words(band),
              {.colour = k_note});
  // Names stand once: over outside temperature, where the drives lie further apart.
  const bool names_right = !panels[1].content.empty();
  draw_panel(canvas, panels[0], band, !names_right, hatched);
  draw_panel(canvas, panels[1], band, names_right, hatched);
  lay_out(legend_of(band, panels, hatched), &canvas);
  return canvas.take();
}

} // namespace coolband
