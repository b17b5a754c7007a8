// SPDX-License-Identifier: Apache-2.0
// Medians, quantiles and robust spreads by selection, not by sorting.
#include "coolband/numeric/order_statistics.hpp"

#include "numeric/selection.hpp"
#include "numeric/special_values.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>
#include <utility>

namespace coolband {

namespace {

// The library's selection may leave the array when an order is not strict, as with NaN.
bool unusable(std::span<const double> values) {
  return values.empty() ||
         std::any_of(values.begin(), values.end(), [](double v) { return std::isnan(v); });
}

// Equal neighbours come back as they are: two infinities must not make a NaN.
double between(double low, double high, double share) {
  if (share == 0.0 || low == high) return low;
  return low + share * (high - low);
}

struct Rank {
  std::size_t whole;
  double share;
};

Rank rank_of(double p, std::size_t count) {
  const double position = std::clamp(p, 0.0, 1.0) * static_cast<double>(count - 1);
  const double whole = std::floor(position);
  return {static_cast<std::size_t>(whole), position - whole};
}

} // namespace

double quantile_sorted(std::span<const double> ascending, double p) {
  if (ascending.empty() || std::isnan(p)) return k_nan;
  const Rank rank = rank_of(p, ascending.size());
  const std::size_t next = std::min(rank.whole + 1, ascending.size() - 1);
  return between(ascending[rank.whole], ascending[next], rank.share);
}

double quantile_of(std::span<double> values, double p) {
  if (unusable(values) || std::isnan(p)) return k_nan;
  const Rank rank = rank_of(p, values.size());
  select(values, rank.whole);
  const double at = values[rank.whole];
  if (rank.share == 0.0) return at;
  const auto above = values.subspan(rank.whole + 1);
  return between(at, *std::min_element(above.begin(), above.end()), rank.share);
}

double quantile(std::vector<double> values, double p) { return quantile_of(values, p); }

double median(std::vector<double> values) { return quantile(std::move(values), 0.5); }

double mad_sigma(std::vector<double> values) {
  const double centre = median(values);
  for (double& value : values) value = std::abs(value - centre);
  return k_mad_to_sigma * median(std::move(values));
}

double weighted_median(std::span<const double> values, std::span<const double> weights) {
  if (unusable(values) || values.size() != weights.size()) return k_nan;
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  double total = 0.0; // summed in the same order as below, so that the last row always reaches it
  for (const std::size_t i : order) total += weights[i];
  if (!(total > 0.0)) return k_nan;
  double reached = 0.0;
  for (const std::size_t i : order) {
    reached += weights[i];
    if (reached >= 0.5 * total) return values[i];
  }
  return k_nan;
}

} // namespace coolband
