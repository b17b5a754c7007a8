// SPDX-License-Identifier: Apache-2.0
// What every picture needs, as SVG 1.1.
#include "report/svg_canvas.hpp"

#include "core/code_point.hpp"
#include "report/picture_colours.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace coolband {

namespace {

constexpr std::string_view k_replacement = "\xEF\xBF\xBD"; // U+FFFD

/// Of the production Char of XML 1.0 (section 2.2), what does not turn round the text beside it.
bool allowed(char32_t value) { return !is_steering(value) && value != 0xFFFE && value != 0xFFFF; }

double em_of(char32_t value) {
  constexpr std::string_view k_narrow = "iljI.,:;'|!()[] ft-";
  constexpr std::string_view k_wide = "WMmw@%";
  if (value >= 0x2E80) return 1.05;
  if (value >= 0x80) return 0.75;
  const char c = static_cast<char>(value);
  if (k_narrow.find(c) != std::string_view::npos) return 0.42;
  if (k_wide.find(c) != std::string_view::npos) return 1.02;
  return c >= 'A' && c <= 'Z' ? 0.78 : 0.65;
}

std::string attributes(const Paint& paint) {
  std::string text = fmt::format(R"(fill="{}")", paint.fill);
  if (paint.stroke == "none") return text;
  text += fmt::format(R"( stroke="{}" stroke-width="{:.1f}")", paint.stroke, paint.width);
  if (!paint.dash.empty()) text += fmt::format(R"( stroke-dasharray="{}")", paint.dash);
  return text;
}

/// A number of px; what is not finite cannot be drawn, and would make the file no SVG.
std::string px(double value) {
  if (!std::isfinite(value)) value = 0.0;
  const double rounded = std::round(value * 10.0) / 10.0;
  return fmt::format("{:.1f}", rounded == 0.0 ? 0.0 : rounded);
}

} // namespace

bool Box::holds(const Box& other) const {
  return other.left >= left && other.right <= right && other.top >= top && other.bottom <= bottom;
}

bool Box::overlaps(const Box& other) const {
  return other.left < right && other.right > left && other.top < bottom && other.bottom > top;
}

std::optional<std::pair<Spot, Spot>> clipped(const Box& box, Spot from, Spot to) {
  const double dx = to.x - from.x;
  const double dy = to.y - from.y;
  // Share of the way at which each side is crossed, and whether inwards (Liang and Barsky).
  double enter = 0.0;
  double leave = 1.0;
  const auto cut = [&](double towards, double distance) {
    if (towards == 0.0) return distance >= 0.0;
    const double share = distance / towards;
    if (towards < 0.0)
      enter = std::max(enter, share);
    else
      leave = std::min(leave, share);
    return true;
  };
  if (!cut(-dx, from.x - box.left) || !cut(dx, box.right - from.x) || !cut(-dy, from.y - box.top) ||
      !cut(dy, box.bottom - from.y))
    return std::nullopt;
  if (!(enter <= leave)) return std::nullopt;
  return std::pair{Spot{from.x + enter * dx, from.y + enter * dy},
                   Spot{from.x + leave * dx, from.y + leave * dy}};
}

double Scale::at(double value) const {
  return from_px + (value - low) / (high - low) * (to_px - from_px);
}

double Scale::within(double value) const { return at(std::clamp(value, low, high)); }

Ticks nice_ticks(double low, double high, std::size_t most) {
  Ticks ticks;
  const double span = high - low;
  if (!std::isfinite(span) || !(span > 0.0) || most < 2) return ticks;
  double power = std::floor(std::log10(span / static_cast<double>(most)));
  const auto count = [&](double step) {
    return std::floor(high / step) - std::ceil(low / step) + 1.0;
  };
  double step = 0.0;
  for (std::size_t i = 0; step == 0.0; ++i) {
    constexpr std::array<double, 3> k_round{1.0, 2.0, 5.0};
    const double tried = k_round.at(i % 3) * std::pow(10.0, power);
    if (count(tried) <= static_cast<double>(most))
      step = tried;
    else if (i % 3 == 2)
      power += 1.0;
  }
  ticks.decimals = static_cast<int>(std::clamp(-power, 0.0, 12.0));
  const double first = std::ceil(low / step);
  // Each from its own multiple: no error adds up, and zero is zero.
  for (double i = 0.0; i < count(step); i += 1.0) ticks.values.push_back((first + i) * step + 0.0);
  return ticks;
}

std::string xml_escaped(std::string_view text) {
  std::string escaped;
  while (!text.empty()) {
    const CodePoint code = first_code_point(text);
    switch (code.value) {
    case U'&': escaped += "&amp;"; break;
    case U'<': escaped += "&lt;"; break;
    case U'>': escaped += "&gt;"; break;
    case U'"': escaped += "&quot;"; break;
    case U'\'': escaped += "&#39;"; break;
    case U'\t':
    case U'\n':
    case U'\r': escaped += ' '; break;
    default:
      escaped += code.sound && allowed(code.value) ? text.substr(0, code.bytes) : k_replacement;
    }
    text.remove_prefix(code.bytes);
  }
  return escaped;
}

std::string shortened(std::string_view text, std::size_t most) {
  std::string_view rest = text;
  std::size_t kept = 0; ///< bytes before the last code point that may stand
  for (std::size_t i = 0; i < most && !rest.empty(); ++i) {
    kept = text.size() - rest.size();
    rest.remove_prefix(first_code_point(rest).bytes);
  }
  if (rest.empty()) return std::string(text);
  return std::string(text.substr(0, kept)) + "…";
}

double text_width(std::string_view text, double size) {
  double ems = 0.0;
  while (!text.empty()) {
    const CodePoint code = first_code_point(text);
    ems += em_of(code.value);
    text.remove_prefix(code.bytes);
  }
  return ems * size;
}

SvgCanvas::SvgCanvas(std::string id, Spot size, std::string_view title,
                     std::string_view description)
    : id_(std::move(id)) {
  text_ = fmt::format(R"(<svg xmlns="http://www.w3.org/2000/svg" width="{0:.0f}" )"
                      R"(height="{1:.0f}" viewBox="0 0 {0:.0f} {1:.0f}" role="img" )"
                      R"(aria-labelledby="{2}-title" aria-describedby="{2}-desc" )"
                      R"(font-family="sans-serif">)"
                      "\n<title id=\"{2}-title\">{3}</title>\n<desc id=\"{2}-desc\">{4}</desc>\n",
                      size.x, size.y, id_, xml_escaped(title), xml_escaped(description));
  path({{0.0, 0.0}, {size.x, 0.0}, size, {0.0, size.y}}, true, {.fill = "#ffffff"});
}

void SvgCanvas::line(Spot from, Spot to, const Paint& paint) {
  text_ += fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" {}/>\n", px(from.x),
                       px(from.y), px(to.x), px(to.y), attributes(paint));
}

void SvgCanvas::path(const std::vector<Spot>& points, bool closed, const Paint& paint) {
  std::string places;
  for (const Spot& point : points)
    places += fmt::format("{}{},{}", places.empty() ? "" : " ", px(point.x), px(point.y));
  text_ += fmt::format("<{} points=\"{}\" {}/>\n", closed ? "polygon" : "polyline", places,
                       attributes(paint));
}

void SvgCanvas::circle(Spot centre, double radius, const Paint& paint) {
  text_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>\n", px(centre.x), px(centre.y),
                       px(radius), attributes(paint));
}

void SvgCanvas::text(Spot at, std::string_view text, const Lettering& lettering) {
  constexpr std::array<std::string_view, 3> k_anchors{"start", "middle", "end"};
  std::string more;
  if (lettering.anchor != Anchor::start)
    more += fmt::format(R"( text-anchor="{}")",
                        k_anchors.at(static_cast<std::size_t>(lettering.anchor)));
  if (lettering.bold) more += R"( font-weight="bold")";
  if (lettering.halo)
    more += R"( stroke="#ffffff" stroke-width="3" stroke-linejoin="round" paint-order="stroke")";
  if (lettering.upward) more += fmt::format(" transform=\"rotate(-90 {} {})\"", px(at.x), px(at.y));
  text_ +=
      fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{:.0f}\" fill=\"{}\"{}>{}</text>\n",
                  px(at.x), px(at.y), lettering.size, lettering.colour, more, xml_escaped(text));
}

std::string SvgCanvas::hatching(std::string_view colour) {
  const std::string name = fmt::format("{}-hatching-{}", id_, ++hatchings_);
  text_ += fmt::format("<defs><pattern id=\"{}\" width=\"7\" height=\"7\" "
                       "patternUnits=\"userSpaceOnUse\"><path d=\"M0 7L7 0\" stroke=\"{}\" "
                       "stroke-width=\"1\"/></pattern></defs>\n",
                       name, colour);
  return "url(#" + name + ")";
}

std::string SvgCanvas::take() { return std::move(text_) + "</svg>"; }

void draw_axes(SvgCanvas& canvas, const Box& plot, const Axis& x, const Axis& y) {
  const Ticks along = nice_ticks(x.scale.low, x.scale.high, x.most_ticks);
  const Ticks up = nice_ticks(y.scale.low, y.scale.high, y.most_ticks);
  for (const double value : along.values) {
    const double at = x.scale.at(value);
    canvas.line({at, plot.bottom}, {at, plot.bottom + 5.0}, {.stroke = k_frame});
    canvas.text({at, plot.bottom + 19.0}, fmt::format("{:.{}f}", value, along.decimals),
                {.anchor = Anchor::middle});
  }
  for (const double value : up.values) {
    const double at = y.scale.at(value);
    canvas.line({plot.left, at}, {plot.right, at}, {.stroke = k_grid});
    canvas.text({plot.left - 7.0, at + 4.0}, fmt::format("{:.{}f}", value, up.decimals),
                {.anchor = Anchor::end});
  }
  canvas.line({plot.left, plot.top}, {plot.left, plot.bottom}, {.stroke = k_frame});
  canvas.line({plot.left, plot.bottom}, {plot.right, plot.bottom}, {.stroke = k_frame});
  canvas.text({(plot.left + plot.right) / 2.0, plot.bottom + 38.0}, x.label,
              {.anchor = Anchor::middle});
  canvas.text({plot.left - 42.0, (plot.top + plot.bottom) / 2.0}, y.label,
              {.anchor = Anchor::middle, .upward = true});
}

std::optional<Spot> LabelRoom::place(Spot beside, std::string_view text, double size) {
  const double width = text_width(text, size);
  constexpr double k_gap = 9.0;
  const std::array<Spot, 4> tried{Spot{beside.x + k_gap, beside.y + 0.35 * size},
                                  Spot{beside.x - k_gap - width, beside.y + 0.35 * size},
                                  Spot{beside.x - width / 2.0, beside.y - k_gap},
                                  Spot{beside.x - width / 2.0, beside.y + k_gap + 0.8 * size}};
  for (const Spot& at : tried) {
    const Box box{at.x, at.y - 0.8 * size, at.x + width, at.y + 0.25 * size};
    const bool free = std::none_of(taken_.begin(), taken_.end(),
                                   [&](const Box& other) { return other.overlaps(box); });
    if (!free || !within_.holds(box)) continue;
    taken_.push_back(box);
    return at;
  }
  return std::nullopt;
}

} // namespace coolband
