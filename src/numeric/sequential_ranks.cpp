// SPDX-License-Identifier: Apache-2.0
// Ranks among what came before.
#include "numeric/sequential_ranks.hpp"

#include "numeric/distributions.hpp"

#include <algorithm>

namespace coolband {

double SequentialRanks::score(double value) {
  const auto [first, last] = std::equal_range(seen_.begin(), seen_.end(), value);
  const auto below = static_cast<double>(first - seen_.begin());
  const auto equal = static_cast<double>(last - first) + 1.0; // itself
  seen_.insert(last, value);
  return normal_quantile((below + 0.5 * equal) / static_cast<double>(seen_.size()));
}

} // namespace coolband
