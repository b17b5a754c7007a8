// SPDX-License-Identifier: Apache-2.0
// The apparent valve curve as a picture: what the radiator must have carried, against coolant
// temperature, against road speed and over time, beside what the circuit expects.
#include "circuit/valve_curve.hpp"
#include "coolband/report/report.hpp"
#include "report/picture_colours.hpp"
#include "report/svg_canvas.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

namespace coolband {

namespace {

// Told apart by shape first; the hues are those that colour-blind readers tell apart.
constexpr std::array<std::string_view, 3> k_part_ink{"#8a2f6b", "#c44e00", "#0a3d62"};
constexpr std::string_view k_expected = "#2b7bb3";
constexpr std::string_view k_expected_dash = "7 4";
constexpr std::string_view k_range = "#dddddd";
constexpr double k_w_per_kw = 1000.0;
constexpr double k_walking_kmh = 10.0;
constexpr double k_brisk_kmh = 60.0;
constexpr double k_bottom = 708.0;
constexpr Box k_by_coolant{64.0, 96.0, 436.0, 330.0};
constexpr Box k_by_speed{508.0, 96.0, 880.0, 330.0};
constexpr Box k_by_time{64.0, 424.0, 880.0, 600.0};

using Points = std::vector<ConductancePoint>;

/// W/K of a vehicle with the usual heat capacity.
double w_per_k(double per_capacity) {
  return per_capacity * k_usual_capacity_kj_per_k * k_w_per_kw;
}

std::size_t pace_of(double speed_kmh) {
  if (speed_kmh < k_walking_kmh) return 0;
  return speed_kmh < k_brisk_kmh ? 1 : 2;
}

void draw_mark(SvgCanvas& canvas, Spot at, std::size_t pace) {
  const std::string_view ink = k_part_ink.at(pace);
  constexpr double k_half = 3.2;
  if (pace == 0) {
    canvas.path({{at.x - k_half, at.y - k_half},
                 {at.x + k_half, at.y - k_half},
                 {at.x + k_half, at.y + k_half},
                 {at.x - k_half, at.y + k_half}},
                true, {.fill = "#ffffff", .stroke = ink, .width = 1.3});
  } else if (pace == 1) {
    canvas.path({{at.x, at.y - 4.0}, {at.x + 4.0, at.y + 3.0}, {at.x - 4.0, at.y + 3.0}}, true,
                {.fill = ink});
  } else {
    canvas.circle(at, 2.8, {.fill = ink});
  }
}

/// Half of the points lie within; hardly any beyond.
Scale height_of(const Points& points, const Box& plot) {
  double high = 50.0;
  double low = 0.0;
  for (const ConductancePoint& point : points) {
    high = std::max({high, w_per_k(point.conductance), w_per_k(point.expected)});
    low = std::min(low, w_per_k(point.conductance));
  }
  return {std::max(low, -0.15 * high), high * 1.05, plot.bottom, plot.top};
}

template <class X>
void draw_points(SvgCanvas& canvas, const Points& points, const Scale& x, const Scale& y, X x_of) {
  for (const ConductancePoint& point : points)
    draw_mark(canvas, {x.within(x_of(point)), y.within(w_per_k(point.conductance))},
              pace_of(point.speed_kmh));
}

void draw_bins(SvgCanvas& canvas, const std::vector<ConductanceBin>& bins, const Scale& x,
               const Scale& y) {
  std::vector<Spot> expected;
  for (const ConductanceBin& bin : bins) {
    const double left = x.within(bin.low_c);
    const double right = x.within(bin.high_c);
    const double lower = y.within(w_per_k(bin.lower));
    const double upper = y.within(w_per_k(bin.upper));
    canvas.path({{left, lower}, {right, lower}, {right, upper}, {left, upper}}, true,
                {.fill = k_range});
    expected.push_back({0.5 * (left + right), y.within(w_per_k(bin.expected))});
  }
  if (expected.size() > 1)
    canvas.path(expected, false, {.stroke = k_expected, .width = 2.4, .dash = k_expected_dash});
}

void draw_medians(SvgCanvas& canvas, const std::vector<ConductanceBin>& bins, const Scale& x,
                  const Scale& y) {
  for (const ConductanceBin& bin : bins) {
    const double at = y.within(w_per_k(bin.median));
    canvas.line({x.within(bin.low_c), at}, {x.within(bin.high_c), at},
                {.stroke = "#1a1a1a", .width = 2.4});
  }
}

void draw_by_coolant(SvgCanvas& canvas, const Points& points, const Scale& height) {
  const auto less = [](const auto& a, const auto& b) { return a.coolant_c < b.coolant_c; };
  const auto [coldest, hottest] = std::minmax_element(points.begin(), points.end(), less);
  const Box& plot = k_by_coolant;
  const Scale x{coldest->coolant_c - 1.5, hottest->coolant_c + 1.5, plot.left, plot.right};
  canvas.text({plot.left, 80.0}, "Against coolant temperature", {.size = 13.0, .bold = true});
  draw_axes(canvas, plot, {x, "coolant (°C)"}, {height, "radiator carries (W/K)"});
  const auto bins = conductance_by_coolant(points);
  draw_bins(canvas, bins, x, height);
  draw_points(canvas, points, x, height, [](const auto& point) { return point.coolant_c; });
  draw_medians(canvas, bins, x, height);
}

void draw_by_speed(SvgCanvas& canvas, const Points& points, const Scale& height) {
  double fastest = 30.0;
  for (const ConductancePoint& point : points) fastest = std::max(fastest, point.speed_kmh);
  const Box& plot = k_by_speed;
  const Scale x{-2.0, fastest + 3.0, plot.left, plot.right};
  canvas.text({plot.left, 80.0}, "Against road speed", {.size = 13.0, .bold = true});
  draw_axes(canvas, plot, {x, "road speed (km/h)"}, {height, "radiator carries (W/K)"});
  draw_points(canvas, points, x, height, [](const auto& point) { return point.speed_kmh; });
}

void draw_by_time(SvgCanvas& canvas, const Points& points, const Scale& height) {
  const Box& plot = k_by_time;
  const double end_min = points.back().time_s / 60.0;
  const Scale x{0.0, std::max(end_min * 1.01, 1.0), plot.left, plot.right};
  canvas.text({plot.left, plot.top - 16.0}, "Over the trip", {.size = 13.0, .bold = true});
  draw_axes(canvas, plot, {x, "time (min)", 12}, {height, "radiator carries (W/K)", 5});
  std::vector<Spot> expected;
  const auto flush = [&] {
    if (expected.size() > 1)
      canvas.path(expected, false, {.stroke = k_expected, .width = 2.0, .dash = k_expected_dash});
    expected.clear();
  };
  double before_s = points.front().time_s;
  for (const ConductancePoint& point : points) {
    if (point.time_s - before_s > 90.0) flush();
    expected.push_back({x.within(point.time_s / 60.0), height.within(w_per_k(point.expected))});
    before_s = point.time_s;
  }
  flush();
  draw_points(canvas, points, x, height, [](const auto& point) { return point.time_s / 60.0; });
}

void draw_legend(SvgCanvas& canvas, bool fitted) {
  constexpr double k_legend_row = 664.0;
  const std::array<std::string, 3> words{
      fmt::format("below {:.0f} km/h", k_walking_kmh),
      fmt::format("{:.0f} to {:.0f} km/h", k_walking_kmh, k_brisk_kmh),
      fmt::format("{:.0f} km/h and more", k_brisk_kmh)};
  double x = 70.0;
  for (std::size_t pace = 0; pace < words.size(); ++pace) {
    draw_mark(canvas, {x, k_legend_row}, pace);
    canvas.text({x + 10.0, k_legend_row + 4.0}, words.at(pace));
    x += 28.0 + text_width(words.at(pace), 12.0);
  }
  canvas.line({x, k_legend_row}, {x + 26.0, k_legend_row}, {.stroke = "#1a1a1a", .width = 2.4});
  canvas.text({x + 32.0, k_legend_row + 4.0}, "median, grey: middle half");
  canvas.line({x + 200.0, k_legend_row}, {x + 226.0, k_legend_row},
              {.stroke = k_expected, .width = 2.4, .dash = k_expected_dash});
  canvas.text({x + 232.0, k_legend_row + 4.0},
              fitted ? "expected of this vehicle" : "expected of a usual vehicle");
}

void draw_nothing(SvgCanvas& canvas) {
  canvas.text({450.0, 300.0},
              "nothing to show: no two minutes of running with the coolant 25 K above the air",
              {.size = 14.0, .anchor = Anchor::middle});
}

/// What the picture stands on.
std::string basis_words(const TripReport& report, const CircuitDrive& drive) {
  const auto& band = report.finding.band;
  std::string words =
      band && band->circuit
          ? fmt::format("heat balance by the circuit fitted to {} drives", band->circuit->drives)
          : "heat balance of a usual vehicle: shape tells, height does not";
  if (!drive.saw_load) words += "; no load in the log, the road stands for it";
  if (!drive.saw_ambient) words += "; no outside temperature in the log";
  return words + fmt::format("; {:.0f} kJ/K assumed", k_usual_capacity_kj_per_k);
}

} // namespace

std::string draw_valve(const TripReport& report, const std::string& id) {
  const auto& band = report.finding.band;
  const bool fitted = band && band->circuit;
  const CircuitValues circuit = fitted ? values_of(*band->circuit) : usual_circuit();
  const CircuitDrive drive = circuit_drive(report.finding.trip.blocks, 1e9);
  const Points points = apparent_conductance(drive, circuit);
  const std::string vehicle = band ? band->vehicle : "";
  const std::string title = (vehicle.empty() ? "" : shortened(vehicle, 32) + ": ") +
                            "apparent conductance of the radiator";
  SvgCanvas canvas(id, {900.0, k_bottom}, title,
                   title + " against coolant temperature, road speed and time; " +
                       report.finding.judgement.headline);
  canvas.text({22.0, 30.0}, title, {.size = 17.0, .bold = true});
  canvas.text({22.0, 50.0}, basis_words(report, drive), {.colour = k_note});
  if (points.empty()) {
    draw_nothing(canvas);
    return canvas.take();
  }
  draw_by_coolant(canvas, points, height_of(points, k_by_coolant));
  draw_by_speed(canvas, points, height_of(points, k_by_speed));
  draw_by_time(canvas, points, height_of(points, k_by_time));
  draw_legend(canvas, fitted);
  canvas.text({22.0, 692.0}, shortened(report.finding.judgement.headline, 120), {.colour = k_note});
  return canvas.take();
}

} // namespace coolband
