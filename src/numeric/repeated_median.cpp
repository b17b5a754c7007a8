// SPDX-License-Identifier: Apache-2.0
// A slope that nearly half of the points cannot move, leverage points included.
#include "numeric/repeated_median.hpp"

#include "numeric/selection.hpp"
#include "numeric/special_values.hpp"

#include <cmath>
#include <vector>

namespace coolband {

double repeated_median_slope(std::span<const double> x, std::span<const double> y,
                             double least_step) {
  std::vector<double> inner;
  std::vector<double> slopes;
  inner.reserve(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) {
    slopes.clear();
    for (std::size_t j = 0; j < x.size(); ++j) {
      if (std::abs(x[j] - x[i]) >= least_step) slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
    }
    if (!slopes.empty()) inner.push_back(quantile_of(slopes, 0.5));
  }
  return inner.empty() ? k_nan : quantile_of(inner, 0.5);
}

} // namespace coolband
