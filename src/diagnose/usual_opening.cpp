// SPDX-License-Identifier: Apache-2.0
// Scatter over the learned drives, or what a bend says of a rating.
#include "diagnose/usual_opening.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace coolband {

namespace {

/// A new thermostat may begin to open 3 K off its rating either way (TM 5-3825-229-14&P).
constexpr double k_off_k = 3.0;
constexpr double k_far_off_k = 5.0;
constexpr double k_off_errors = 3.0;

struct Usual {
  double opens_c = 0.0;
  double error_k = 0.0; ///< of a single drive's
};

std::optional<Usual> usual_opening(const NormalBand& band) {
  const auto& seen = band.traits.opens_c;
  if (seen) return Usual{seen->value, std::hypot(seen->scatter, seen->error)};
  if (band.opens_c) return Usual{*band.opens_c + k_bend_above_rating_k, k_bend_scatter_k};
  return std::nullopt;
}

Opening kind_of(double off_k, double error_k) {
  const double size_k = std::abs(off_k);
  if (size_k < k_off_k) return Opening::usual;
  if (size_k < k_off_errors * error_k) return Opening::unseen;
  if (size_k < k_far_off_k) return off_k > 0.0 ? Opening::above : Opening::below;
  return off_k > 0.0 ? Opening::far_above : Opening::far_below;
}

} // namespace

SeenOpening seen_opening(const Trip& trip, const NormalBand& band) {
  if (is_restless(band.traits)) return {}; // what bends its rise is not the valve alone
  const auto warm_up = std::find_if(trip.warm_ups.begin(), trip.warm_ups.end(),
                                    [](const WarmUp& w) { return w.opened_c.has_value(); });
  const auto usual = usual_opening(band);
  if (warm_up == trip.warm_ups.end() || !usual) return {};
  const double off_k = *warm_up->opened_c - usual->opens_c;
  return {kind_of(off_k, usual->error_k), *warm_up->opened_c, off_k};
}

} // namespace coolband
