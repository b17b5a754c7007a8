// SPDX-License-Identifier: Apache-2.0
// The robust losses: the weights they give and the slopes of their ψ.
#pragma once

#include "coolband/numeric/robust_fit.hpp"

#include <cmath>

namespace coolband {

/// A loss with its tuning constant c, as functions of a residual u in units of the scale.
struct LossShape {
  Loss loss = Loss::squares;
  double tuning = 0.0;

  /// ψ(u)/u. squares: 1. huber: min(1, c/|u|). bisquare: (1 - (u/c)²)² within c, 0 beyond.
  [[nodiscard]] double weight(double u) const {
    if (loss == Loss::squares) return 1.0;
    const double size = std::abs(u);
    if (loss == Loss::huber) return size <= tuning ? 1.0 : tuning / size;
    if (size >= tuning) return 0.0;
    const double rest = 1.0 - (u / tuning) * (u / tuning);
    return rest * rest;
  }

  /// ψ'(u). huber: 1 within c, 0 beyond. bisquare: (1 - v)(1 - 5v), v = (u/c)², 0 beyond c.
  [[nodiscard]] double psi_slope(double u) const {
    if (loss == Loss::squares) return 1.0;
    const double size = std::abs(u);
    if (loss == Loss::huber) return size <= tuning ? 1.0 : 0.0;
    if (size >= tuning) return 0.0;
    const double v = (u / tuning) * (u / tuning);
    return (1.0 - v) * (1.0 - 5.0 * v);
  }
};

/// `tuning` 0 stands for the constant that is 95 % efficient at the normal distribution: 1.345
/// (Huber 1964) and 4.685 (Holland & Welsch 1977).
inline LossShape loss_shape(Loss loss, double tuning) {
  if (tuning > 0.0) return {loss, tuning};
  return {loss, loss == Loss::bisquare ? 4.685 : 1.345};
}

/// Bisquare constant for which the mean of the loss below is 1/2 at the standard normal.
inline constexpr double k_s_tuning = 1.547645;

/// The bisquare loss, 1 from c on: its mean is what an M-estimate of scale holds fixed.
inline double bisquare_rho(double u, double tuning) {
  const double v = (u / tuning) * (u / tuning);
  if (!(v < 1.0)) return 1.0;
  const double rest = 1.0 - v;
  return 1.0 - rest * rest * rest;
}

} // namespace coolband
