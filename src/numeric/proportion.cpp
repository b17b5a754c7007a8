// SPDX-License-Identifier: Apache-2.0
// Intervals for a share. Wilson, J. American Statistical Association 22 (1927) 209-212; Clopper &
// Pearson, Biometrika 26 (1934) 404-413 (both from memory).
#include "numeric/proportion.hpp"

#include "numeric/distributions.hpp"
#include "numeric/special_values.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

bool is_share(double events, double trials, double confidence) {
  return events >= 0.0 && trials >= events && std::isfinite(trials) && confidence > 0.0 &&
         confidence < 1.0;
}

} // namespace

ShareInterval wilson_interval(double events, double trials, double confidence) {
  if (!is_share(events, trials, confidence)) return {k_nan, k_nan};
  if (trials == 0.0) return {};
  const double z = normal_quantile(0.5 * (1.0 + confidence));
  const double middle = events + 0.5 * z * z;
  const double reach = z * std::sqrt(events * (trials - events) / trials + 0.25 * z * z);
  const double total = trials + z * z;
  // At the ends the two terms are equal; rounding must not leave a crumb.
  const double low = events == 0.0 ? 0.0 : (middle - reach) / total;
  const double high = events == trials ? 1.0 : (middle + reach) / total;
  return {std::max(low, 0.0), std::min(high, 1.0)};
}

ShareInterval clopper_pearson_interval(double events, double trials, double confidence) {
  if (!is_share(events, trials, confidence)) return {k_nan, k_nan};
  const double tail = 0.5 * (1.0 - confidence);
  const double rest = trials - events;
  ShareInterval interval;
  if (events > 0.0) interval.low = beta_quantile(tail, events, rest + 1.0);
  // The upper end mirrored, so that both keep their digits near 0 and 1 alike.
  if (rest > 0.0) interval.high = 1.0 - beta_quantile(tail, rest, events + 1.0);
  return interval;
}

} // namespace coolband
