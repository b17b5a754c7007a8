// SPDX-License-Identifier: Apache-2.0
// What every picture needs: scales with round ticks, shapes, text, and a place for labels. Writes
// SVG 1.1 with fixed decimals; nothing in it refers to anything outside.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coolband {

/// A place on the canvas, px; y grows downwards.
struct Spot {
  double x = 0.0;
  double y = 0.0;
};

struct Box {
  double left = 0.0;
  double top = 0.0;
  double right = 0.0;
  double bottom = 0.0;

  [[nodiscard]] bool holds(const Box& other) const;
  [[nodiscard]] bool overlaps(const Box& other) const;
};

/// The part of a line that lies within the box, if any.
std::optional<std::pair<Spot, Spot>> clipped(const Box& box, Spot from, Spot to);

/// From values to px.
struct Scale {
  double low = 0.0; ///< value at `from_px`
  double high = 1.0;
  double from_px = 0.0;
  double to_px = 1.0;

  [[nodiscard]] double at(double value) const;
  /// The same, but never beyond the ends.
  [[nodiscard]] double within(double value) const;
};

struct Ticks {
  std::vector<double> values;
  int decimals = 0; ///< that tell them apart
};
/// Multiples of 1, 2 or 5 times a power of ten from `low` to `high`, at most `most` of them (two or
/// more). None where there is no range.
Ticks nice_ticks(double low, double high, std::size_t most);

/// Text as it may stand between tags and in attributes. What XML 1.0 does not allow, and bytes that
/// are no UTF-8, become U+FFFD; tabs and ends of lines become blanks.
std::string xml_escaped(std::string_view text);
/// At most `most` code points, the last of them "…" where some were cut off.
std::string shortened(std::string_view text, std::size_t most);
/// px that the text takes at most in a usual sans-serif, about.
double text_width(std::string_view text, double size);

struct Paint {
  std::string_view fill = "none";
  std::string_view stroke = "none";
  double width = 1.0;
  std::string_view dash = {}; ///< as in `stroke-dasharray`
};

enum class Anchor : std::uint8_t { start, middle, end };

struct Lettering {
  double size = 12.0;
  Anchor anchor = Anchor::start;
  bool bold = false;
  bool halo = false;   ///< a white rim, for text on top of shapes
  bool upward = false; ///< reads from bottom to top
  std::string_view colour = "#1a1a1a";
};

class SvgCanvas {
 public:
  /// `id` begins the ids of the picture's parts, so that several can stand in one page. Title and
  /// description are what a screen reader says.
  SvgCanvas(std::string id, Spot size, std::string_view title, std::string_view description);

  void line(Spot from, Spot to, const Paint& paint);
  void path(const std::vector<Spot>& points, bool closed, const Paint& paint);
  void circle(Spot centre, double radius, const Paint& paint);
  void text(Spot at, std::string_view text, const Lettering& lettering = {});
  /// Slanted lines as a fill.
  std::string hatching(std::string_view colour);

  /// The whole picture, without a newline at the end.
  [[nodiscard]] std::string take();

 private:
  std::string id_;
  std::string text_;
  std::size_t hatchings_ = 0;
};

struct Axis {
  Scale scale;
  std::string label; ///< with the unit
  std::size_t most_ticks = 7;
};
/// Frame, grid, ticks and labels.
void draw_axes(SvgCanvas& canvas, const Box& plot, const Axis& x, const Axis& y);

/// Finds room for labels beside what they name.
class LabelRoom {
 public:
  explicit LabelRoom(const Box& within) : within_(within) {}
  /// No label may lie here.
  void block(const Box& box) { taken_.push_back(box); }
  /// Where such a text (anchor: start) may begin right or left of, above or below the spot; the
  /// place is then taken. None where there is no room.
  std::optional<Spot> place(Spot beside, std::string_view text, double size);

 private:
  Box within_;
  std::vector<Box> taken_;
};

} // namespace coolband
