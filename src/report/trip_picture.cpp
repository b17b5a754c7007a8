// SPDX-License-Identifier: Apache-2.0
// A trip as a picture: coolant with the band that moves with the conditions, episodes, boiling and
// the thermostat's opening above; the conditions below, on the same axis of time.
#include "coolband/report/report.hpp"
#include "report/episode_marks.hpp"
#include "report/explanation.hpp"
#include "report/picture_colours.hpp"
#include "report/reading_words.hpp"
#include "report/svg_canvas.hpp"
#include "report/time_lines.hpp"
#include "report/trip_course.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

namespace coolband {

namespace {

// Told apart by shape and lightness first; the hues are those that colour-blind readers tell apart.
constexpr std::string_view k_ink = "#1a1a1a";
constexpr std::string_view k_fault = "#c44e00";
constexpr std::string_view k_fault_fill = "#fbe3d0";
constexpr std::string_view k_explained = "#6a6a6a";
constexpr std::string_view k_explained_fill = "#ececec";
constexpr std::string_view k_boiling = "#8a2f6b";
constexpr std::string_view k_boiling_dash = "9 3 2 3";
constexpr std::string_view k_centre_dash = "7 4";
constexpr double k_width = 960.0;
constexpr double k_left = 58.0;
constexpr double k_right = 940.0;
constexpr double k_margin = 20.0;
constexpr double k_row = 19.0;
constexpr double k_coolant_height = 300.0;
constexpr double k_panel_height = 58.0;
constexpr double k_panel_gap = 30.0;
constexpr std::size_t k_most_openings = 6;

struct Strip {
  std::string heading; ///< with the unit
  const std::vector<float>* values = nullptr;
  double low = 0.0;
  double high = 100.0;
  bool filled = false; ///< from the bottom up to the value
};

struct Layout {
  std::vector<EpisodeMark> marks;
  std::vector<Strip> strips;
  std::vector<std::string> missing; ///< columns that the log lacks
  double marks_y = 0.0;
  Box coolant;
  double plots_bottom = 0.0;
  double key_top = 0.0;
  double bottom = 0.0;
};

struct Drawing {
  const TripReport& report;
  TripCourse course;
  TimeAxis axis;
  Layout layout;
  Scale y; ///< of the coolant
};

bool any_known(const std::vector<float>& values) {
  return std::any_of(values.begin(), values.end(), [](float value) { return !std::isnan(value); });
}

/// Takes every known value of the columns into [low, high].
void widen(double& low, double& high, const std::vector<float>& values) {
  for (const float value : values) {
    if (std::isnan(value)) continue;
    low = std::min(low, static_cast<double>(value));
    high = std::max(high, static_cast<double>(value));
  }
}

Strip strip_of(std::string heading, const std::vector<float>& values, Range least, bool filled) {
  Strip strip{std::move(heading), &values, least.low, least.high, filled};
  widen(strip.low, strip.high, values);
  return strip;
}

Range air_range(const std::vector<float>& ambient) {
  double low = 1e9;
  double high = -1e9;
  widen(low, high, ambient);
  const double middle = std::round((low + high) / 2.0);
  return {std::min(low, middle - 5.0), std::max(high, middle + 5.0)};
}

void add_strips(Layout& layout, const Blocks& blocks, const TripCourse& course) {
  const auto add = [&](const std::vector<float>& values, const std::string& heading,
                       const std::string& unit, Range least, bool filled) {
    if (any_known(values))
      layout.strips.push_back(strip_of(heading + " (" + unit + ")", values, least, filled));
    else
      layout.missing.push_back(heading);
  };
  if (any_known(course.opening_pct))
    layout.strips.push_back(strip_of("a sound thermostat would stand open (%), estimated",
                                     course.opening_pct, {0.0, 100.0}, true));
  add(blocks.load, "engine load", "%", {0.0, 100.0}, true);
  add(blocks.speed, "road speed", "km/h", {0.0, 50.0}, true);
  add(blocks.ambient, "outside temperature", "°C",
      any_known(blocks.ambient) ? air_range(blocks.ambient) : Range{}, false);
}

/// From top to bottom: title, legend, numbers, coolant, strips, axis, key.
Layout layout_of(const TripReport& report, const TripCourse& course, const Scale& x) {
  Layout layout;
  const auto& episodes = report.finding.judgement.episodes;
  layout.marks = episode_marks(episodes, x);
  add_strips(layout, report.finding.trip.blocks, course);
  double y = 122.0;
  if (!layout.marks.empty()) {
    layout.marks_y = y;
    y += 30.0;
  }
  layout.coolant = {k_left, y, k_right, y + k_coolant_height};
  y = layout.coolant.bottom +
      static_cast<double>(layout.strips.size()) * (k_panel_gap + k_panel_height);
  layout.plots_bottom = y;
  layout.key_top = y + 62.0;
  const std::size_t lines = (layout.marks.size() + 1) / 2;
  const bool more = episodes.size() > layout.marks.size();
  layout.bottom = layout.key_top + k_row * static_cast<double>(lines + (more ? 1 : 0)) +
                  (layout.missing.empty() ? 0.0 : k_row);
  return layout;
}

Scale coolant_scale(const TripReport& report, const TripCourse& course, const Box& plot) {
  const Judgement& judgement = report.finding.judgement;
  double low = 1e9;
  double high = -1e9;
  widen(low, high, report.finding.trip.blocks.coolant);
  widen(low, high, course.lower_c);
  widen(low, high, course.upper_c);
  if (low > high) return {0.0, 100.0, plot.bottom, plot.top};
  // Far off it would only flatten the rest.
  constexpr double k_near_k = 25.0;
  const auto boils_c = judgement.boiling.point_c;
  if (boils_c && *boils_c < high + k_near_k) high = std::max(high, *boils_c + 3.0);
  constexpr double k_least_span_k = 20.0;
  const double lack = std::max(0.0, k_least_span_k - (high - low));
  // Room for the words at the top.
  const double room = 0.08 * (high - low);
  return {low - 2.0 - lack / 2.0, high + room + lack / 2.0, plot.bottom, plot.top};
}

double unit_s(double duration_s) { return duration_s > 3.0 * 3600.0 ? 3600.0 : 60.0; }

// Ticks of time go through all plots.
void draw_time(Drawing& drawing, SvgCanvas& canvas) {
  const Scale& x = drawing.axis.x;
  const double unit = unit_s(x.high);
  const Ticks ticks = nice_ticks(0.0, x.high / unit, 14);
  const double bottom = drawing.layout.plots_bottom;
  for (const double value : ticks.values) {
    const double at = x.at(value * unit);
    canvas.line({at, drawing.layout.coolant.top}, {at, bottom}, {.stroke = k_grid});
    canvas.line({at, bottom}, {at, bottom + 5.0}, {.stroke = k_frame});
    canvas.text({at, bottom + 18.0}, fmt::format("{:.{}f}", value, ticks.decimals),
                {.anchor = Anchor::middle});
  }
  canvas.text({(k_left + k_right) / 2.0, bottom + 36.0},
              unit == 60.0 ? "minutes from the start of the trip"
                           : "hours from the start of the trip",
              {.anchor = Anchor::middle});
}

void draw_frame(SvgCanvas& canvas, const Box& plot, const Scale& y, std::size_t most_ticks,
                std::string_view heading) {
  const Ticks ticks = nice_ticks(y.low, y.high, most_ticks);
  for (const double value : ticks.values) {
    const double at = y.at(value);
    canvas.line({plot.left, at}, {plot.right, at}, {.stroke = k_grid});
    canvas.text({plot.left - 7.0, at + 4.0}, fmt::format("{:.{}f}", value, ticks.decimals),
                {.anchor = Anchor::end});
  }
  canvas.line({plot.left, plot.top}, {plot.left, plot.bottom}, {.stroke = k_frame});
  canvas.line({plot.left, plot.bottom}, {plot.right, plot.bottom}, {.stroke = k_frame});
  canvas.text({plot.left, plot.top - 7.0}, heading, {.bold = true});
}

void draw_shades(const Drawing& drawing, SvgCanvas& canvas) {
  const Layout& layout = drawing.layout;
  for (const Episode& episode : drawing.report.finding.judgement.episodes) {
    const bool explained = episode.explained_by != Explanation::none;
    constexpr double k_least_px = 1.5;
    const double from = drawing.axis.x.within(episode.start_s);
    const double to = std::max(drawing.axis.x.within(episode.end_s), from + k_least_px);
    const auto box = [&](double top, double bottom, std::string_view fill) {
      canvas.path({{from, top}, {to, top}, {to, bottom}, {from, bottom}}, true, {.fill = fill});
    };
    box(layout.coolant.top, layout.plots_bottom, explained ? k_explained_fill : k_fault_fill);
    box(layout.coolant.top - 4.0, layout.coolant.top, explained ? k_explained : k_fault);
  }
}

void draw_marks(const Layout& layout, SvgCanvas& canvas) {
  for (const EpisodeMark& mark : layout.marks) {
    const bool explained = mark.episode->explained_by != Explanation::none;
    const std::string_view ink = explained ? k_explained : k_fault;
    const Spot at{mark.mark_px, layout.marks_y};
    canvas.line({at.x, at.y + k_mark_radius}, {mark.middle_px, layout.coolant.top - 4.0},
                {.stroke = ink});
    canvas.circle(at, k_mark_radius,
                  {.fill = explained ? "#ffffff" : k_fault, .stroke = ink, .width = 1.5});
    canvas.text({at.x, at.y + 4.0}, fmt::format("{}", mark.number),
                {.size = k_small_print,
                 .anchor = Anchor::middle,
                 .bold = true,
                 .colour = explained ? k_ink : "#ffffff"});
  }
}

/// A mark of one shape for each, one beside the other.
void draw_key(const Drawing& drawing, SvgCanvas& canvas) {
  const Layout& layout = drawing.layout;
  const std::size_t rows = (layout.marks.size() + 1) / 2;
  constexpr std::size_t k_most_letters = 62;
  for (std::size_t i = 0; i < layout.marks.size(); ++i) {
    const EpisodeMark& mark = layout.marks[i];
    const double x = i < rows ? k_margin : k_width / 2.0 + 8.0;
    const double y = layout.key_top + k_row * static_cast<double>(i < rows ? i : i - rows);
    canvas.text({x, y}, fmt::format("{}", mark.number), {.size = k_small_print, .bold = true});
    canvas.text({x + 22.0, y}, shortened(episode_words(*mark.episode), k_most_letters),
                {.size = k_small_print});
  }
  double y = layout.key_top + k_row * static_cast<double>(rows);
  const std::size_t all = drawing.report.finding.judgement.episodes.size();
  if (all > layout.marks.size()) {
    canvas.text({k_margin, y},
                fmt::format("and {} more, shaded without a number", all - layout.marks.size()),
                {.size = k_small_print});
    y += k_row;
  }
  if (layout.missing.empty()) return;
  std::string words = "not in the log: ";
  for (std::size_t i = 0; i < layout.missing.size(); ++i)
    words += (i == 0 ? "" : ", ") + layout.missing[i];
  canvas.text({k_margin, y}, words, {.size = k_small_print, .colour = k_note});
}

void draw_boiling(const Drawing& drawing, SvgCanvas& canvas) {
  const Judgement& judgement = drawing.report.finding.judgement;
  if (!judgement.boiling.point_c || !judgement.hottest_c) return;
  const double margin = *judgement.boiling.point_c - *judgement.hottest_c;
  const bool shown = *judgement.boiling.point_c <= drawing.y.high;
  const double at = drawing.y.within(*judgement.boiling.point_c);
  if (shown) {
    canvas.line({k_left, at}, {k_right, at},
                {.stroke = k_boiling, .width = 1.6, .dash = k_boiling_dash});
  }
  canvas.text({k_right - 4.0, at + 14.0},
              fmt::format("boils at {:.1f} °C{}: the hottest reading, {:.1f} °C, was {:.1f} K {}",
                          *judgement.boiling.point_c, shown ? "" : ", above this picture",
                          *judgement.hottest_c, std::abs(margin), margin < 0.0 ? "above" : "below"),
              {.size = k_small_print, .anchor = Anchor::end, .halo = true, .colour = k_boiling});
}

/// When the reading first came to where the thermostat opened.
std::optional<double> opened_s(const Trip& trip, const WarmUp& warm_up) {
  constexpr double k_as_good_as_k = 0.5;
  constexpr double k_later_s = 300.0;
  const double end_s = warm_up.start_s + warm_up.reached_s.value_or(trip.duration_s) + k_later_s;
  for (std::size_t i = 0; i < trip.blocks.size() && trip.blocks.start_s[i] <= end_s; ++i) {
    const auto coolant = static_cast<double>(trip.blocks.coolant[i]);
    if (trip.blocks.start_s[i] >= warm_up.start_s && coolant >= *warm_up.opened_c - k_as_good_as_k)
      return trip.blocks.start_s[i];
  }
  return std::nullopt;
}

void draw_openings(const Drawing& drawing, SvgCanvas& canvas) {
  const Trip& trip = drawing.report.finding.trip;
  LabelRoom room(drawing.layout.coolant);
  std::size_t drawn = 0;
  for (const WarmUp& warm_up : trip.warm_ups) {
    const auto at_s = warm_up.opened_c ? opened_s(trip, warm_up) : std::nullopt;
    if (!at_s || ++drawn > k_most_openings) continue;
    const Spot at{drawing.axis.x.within(*at_s), drawing.y.within(*warm_up.opened_c)};
    canvas.path({{at.x, at.y + 2.0}, {at.x + 6.0, at.y + 13.0}, {at.x - 6.0, at.y + 13.0}}, true,
                {.fill = "#ffffff", .stroke = k_ink, .width = 1.5});
    const std::string words = fmt::format("first opening near {:.0f} °C", *warm_up.opened_c);
    const auto place = room.place({at.x, at.y + 12.0}, words, k_small_print);
    if (place) canvas.text(*place, words, {.size = k_small_print, .halo = true});
  }
}

/// Readings that were not believed have no place on the scale: crosses along the axis.
void draw_disbelieved(const Drawing& drawing, SvgCanvas& canvas) {
  const Recording& recording = drawing.report.recording;
  const Trip& trip = drawing.report.finding.trip;
  constexpr double k_apart = 7.0;
  constexpr double k_half = 3.0;
  const double y = drawing.layout.coolant.bottom - 6.0;
  double next = 0.0;
  for (const SensorEvent& event : trip.sensor_events) {
    const double from = drawing.axis.x.within(recording.time_s[event.first_row] - trip.start_s);
    const double to = drawing.axis.x.within(recording.time_s[event.last_row] - trip.start_s);
    for (double x = std::max(from, next); x <= std::max(from, to); x += k_apart) {
      canvas.line({x - k_half, y - k_half}, {x + k_half, y + k_half},
                  {.stroke = k_ink, .width = 1.5});
      canvas.line({x - k_half, y + k_half}, {x + k_half, y - k_half},
                  {.stroke = k_ink, .width = 1.5});
      next = x + k_apart;
    }
  }
}

void draw_coolant(const Drawing& drawing, SvgCanvas& canvas) {
  const TripCourse& course = drawing.course;
  const Blocks& blocks = drawing.report.finding.trip.blocks;
  draw_area(canvas, stretches_of(drawing.axis, course.lower_c, course.upper_c), drawing.y,
            {.fill = k_band_fill});
  draw_line(canvas, stretches_of(drawing.axis, course.centre_c, course.centre_c), drawing.y,
            {.stroke = k_centre, .width = 1.2, .dash = k_centre_dash});
  draw_frame(canvas, drawing.layout.coolant, drawing.y, 9, "coolant (°C)");
  draw_boiling(drawing, canvas);
  draw_line(canvas, stretches_of(drawing.axis, blocks.coolant, blocks.coolant), drawing.y,
            {.stroke = k_ink, .width = 2.0});
  draw_openings(drawing, canvas);
  draw_disbelieved(drawing, canvas);
}

void draw_strips(const Drawing& drawing, SvgCanvas& canvas) {
  constexpr std::string_view k_fill = "#b9bfc4";
  double top = drawing.layout.coolant.bottom;
  for (const Strip& strip : drawing.layout.strips) {
    top += k_panel_gap;
    const Box plot{k_left, top, k_right, top + k_panel_height};
    const Scale y{strip.low, strip.high, plot.bottom, plot.top};
    if (strip.filled) {
      const std::vector<float> floor(strip.values->size(), static_cast<float>(strip.low));
      draw_area(canvas, stretches_of(drawing.axis, floor, *strip.values), y, {.fill = k_fill});
    }
    draw_frame(canvas, plot, y, 3, strip.heading);
    draw_line(canvas, stretches_of(drawing.axis, *strip.values, *strip.values), y,
              {.stroke = k_ink, .width = 1.2});
    top = plot.bottom;
  }
}

/// Only what the picture has.
void draw_legend(const Drawing& drawing, SvgCanvas& canvas) {
  constexpr double k_y = 84.0;
  constexpr double k_sample = 26.0;
  double x = k_margin;
  const auto words = [&](std::string_view text) {
    canvas.text({x + k_sample + 6.0, k_y + 4.0}, text);
    x += k_sample + 24.0 + text_width(text, 12.0);
  };
  const auto box = [&](std::string_view fill) {
    canvas.path(
        {{x, k_y - 6.0}, {x + k_sample, k_y - 6.0}, {x + k_sample, k_y + 6.0}, {x, k_y + 6.0}},
        true, {.fill = fill});
  };
  canvas.line({x, k_y}, {x + k_sample, k_y}, {.stroke = k_ink, .width = 2.0});
  words("coolant");
  if (any_known(drawing.course.centre_c)) {
    box(k_band_fill);
    canvas.line({x, k_y}, {x + k_sample, k_y},
                {.stroke = k_centre, .width = 1.2, .dash = k_centre_dash});
    words("normal here, with its limits");
  }
  const auto& episodes = drawing.report.finding.judgement.episodes;
  const auto explained = [](const Episode& e) { return e.explained_by != Explanation::none; };
  if (!std::all_of(episodes.begin(), episodes.end(), explained)) {
    box(k_fault_fill);
    canvas.line({x, k_y - 6.0}, {x + k_sample, k_y - 6.0}, {.stroke = k_fault, .width = 4.0});
    words("episode");
  }
  if (std::any_of(episodes.begin(), episodes.end(), explained)) {
    box(k_explained_fill);
    canvas.line({x, k_y - 6.0}, {x + k_sample, k_y - 6.0}, {.stroke = k_explained, .width = 4.0});
    words("explained episode");
  }
  if (!drawing.report.finding.trip.sensor_events.empty()) {
    canvas.text({x + k_sample / 2.0, k_y + 4.0}, "×", {.anchor = Anchor::middle, .bold = true});
    words("reading not believed");
  }
}

std::string title_of(const TripReport& report) {
  const std::string vehicle = vehicle_id(report);
  return (vehicle.empty() ? "" : shortened(vehicle, 32) + ": ") +
         shortened(short_trip_words(report.recording, report.finding.trip), 64);
}

/// For those who do not see the picture.
std::string description_of(const TripReport& report) {
  const Judgement& judgement = report.finding.judgement;
  std::string words = judgement.headline + ". Coolant over time";
  if (judgement.median_c && judgement.hottest_c)
    words += fmt::format(", warm at {:.1f} °C in the middle, {:.1f} °C at the hottest",
                         *judgement.median_c, *judgement.hottest_c);
  words += fmt::format("; {} episode{}", judgement.episodes.size(),
                       judgement.episodes.size() == 1 ? "" : "s");
  for (std::size_t i = 0; i < judgement.episodes.size() && i < k_most_marks; ++i)
    words += (i == 0 ? ": " : "; ") + episode_words(judgement.episodes[i]);
  return words + ".";
}

} // namespace

std::string draw_trip(const TripReport& report, const std::string& id) {
  const Trip& trip = report.finding.trip;
  const Scale x{0.0, std::max(trip.duration_s, 1.0), k_left, k_right};
  Drawing drawing{
      report, course_of(report.finding), {trip.blocks, x, longest_bridge_s(trip)}, {}, {}};
  drawing.layout = layout_of(report, drawing.course, x);
  drawing.y = coolant_scale(report, drawing.course, drawing.layout.coolant);
  const std::string title = title_of(report);
  SvgCanvas canvas(id, {k_width, drawing.layout.bottom}, title, description_of(report));
  canvas.text({k_margin, 30.0}, title, {.size = 17.0, .bold = true});
  canvas.text({k_margin, 54.0}, shortened(report.finding.judgement.headline, 110),
              {.size = 13.0, .colour = k_note});
  draw_legend(drawing, canvas);
  draw_shades(drawing, canvas);
  draw_time(drawing, canvas);
  draw_coolant(drawing, canvas);
  draw_strips(drawing, canvas);
  draw_marks(drawing.layout, canvas);
  draw_key(drawing, canvas);
  return canvas.take();
}

} // namespace coolband
