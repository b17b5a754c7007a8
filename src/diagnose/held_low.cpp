// SPDX-License-Identifier: Apache-2.0
// Whether what runs too cold regulates there, or wanders.
#include "diagnose/held_low.hpp"

#include "coolband/numeric/order_statistics.hpp"

#include <cmath>
#include <vector>

namespace coolband {

namespace {

constexpr double k_held_for_s = 900.0;
constexpr double k_held_share = 0.75;

} // namespace

std::optional<HeldLow> held_low(const Deviations& deviations) {
  HeldLow held;
  std::vector<double> low_k;
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const double deviation_k = deviations.from_centre(i);
    if (std::isnan(deviation_k) || deviation_k >= -deviations.limit(i)) continue;
    low_k.push_back(deviation_k);
    held.seconds += deviations.duration(i);
  }
  if (held.seconds < k_held_for_s || held.seconds < k_held_share * deviations.judged_s)
    return std::nullopt;
  held.spread_k = quantile(low_k, 0.95) - quantile(low_k, 0.05);
  return held;
}

} // namespace coolband
