// SPDX-License-Identifier: Apache-2.0
// Least-squares lines: one through all points, or two that meet at the best place.
#include "segment/broken_stick.hpp"

#include <algorithm>
#include <cstddef>
#include <limits>

namespace coolband {

namespace {

struct Means {
  double x = 0.0;
  double y = 0.0;
};

/// Both side by side: each sum waits for the value before.
Means means_of(std::span<const double> x, std::span<const double> y) {
  Means sums;
  for (std::size_t i = 0; i < x.size(); ++i) {
    sums.x += x[i];
    sums.y += y[i];
  }
  const auto count = static_cast<double>(x.size());
  return {sums.x / count, sums.y / count};
}

struct Fit {
  BrokenStick stick;
  double squares = std::numeric_limits<double>::infinity();
};

/// y = c + s x + d max(x - knot, 0): the normal equations of two centred columns. There are two
/// only, and x is centred, so that they are as good as a QR here.
std::optional<Fit> fit_at(std::span<const double> x, std::span<const double> y, double knot,
                          const Means& means) {
  double hinge_mean = 0.0;
  for (const double value : x) hinge_mean += std::max(value - knot, 0.0);
  hinge_mean /= static_cast<double>(x.size());
  double xx = 0.0;
  double xh = 0.0;
  double hh = 0.0;
  double xy = 0.0;
  double hy = 0.0;
  double yy = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double dx = x[i] - means.x;
    const double dh = std::max(x[i] - knot, 0.0) - hinge_mean;
    const double dy = y[i] - means.y;
    xx += dx * dx;
    xh += dx * dh;
    hh += dh * dh;
    xy += dx * dy;
    hy += dh * dy;
    yy += dy * dy;
  }
  const double determinant = xx * hh - xh * xh;
  if (!(determinant > 1e-12 * xx * hh)) return std::nullopt;
  const double slope = (hh * xy - xh * hy) / determinant;
  const double bend = (xx * hy - xh * xy) / determinant;
  Fit fit;
  fit.stick = {knot, means.y + slope * (knot - means.x) - bend * hinge_mean, slope, slope + bend};
  fit.squares = yy - slope * xy - bend * hy;
  return fit;
}

} // namespace

std::optional<double> line_slope(std::span<const double> x, std::span<const double> y) {
  if (x.empty()) return std::nullopt;
  const Means means = means_of(x, y);
  double xx = 0.0;
  double xy = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    xx += (x[i] - means.x) * (x[i] - means.x);
    xy += (x[i] - means.x) * (y[i] - means.y);
  }
  if (!(xx > 0.0)) return std::nullopt;
  return xy / xx;
}

std::optional<BrokenStick> fit_broken_stick(std::span<const double> x, std::span<const double> y,
                                            std::size_t least_side) {
  if (x.size() < 2 * least_side + 1) return std::nullopt;
  const Means means = means_of(x, y);
  Fit best;
  for (std::size_t i = least_side; i + least_side < x.size(); ++i) {
    const auto fit = fit_at(x, y, x[i], means);
    if (fit && fit->squares < best.squares) best = *fit;
  }
  if (best.squares == std::numeric_limits<double>::infinity()) return std::nullopt;
  return best.stick;
}

} // namespace coolband
