// SPDX-License-Identifier: Apache-2.0
// Step-up adjustment of p-values.
#include "numeric/false_discovery.hpp"

#include "numeric/special_values.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace coolband {

namespace {

double penalty(std::size_t tests, Dependence dependence) {
  if (dependence == Dependence::positive) return 1.0;
  double sum = 0.0;
  for (std::size_t i = 1; i <= tests; ++i) sum += 1.0 / static_cast<double>(i);
  return sum;
}

} // namespace

std::vector<double> adjusted_p_values(std::span<const double> p, Dependence dependence) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < p.size(); ++i) {
    if (!std::isnan(p[i])) order.push_back(i);
  }
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return p[a] > p[b]; });
  const auto tests = static_cast<double>(order.size());
  const double dearer = penalty(order.size(), dependence);
  std::vector<double> adjusted(p.size(), k_nan);
  double least = 1.0;
  double rank = tests;
  for (const std::size_t i : order) {
    least = std::min(least, p[i] * tests * dearer / rank);
    adjusted[i] = least;
    rank -= 1.0;
  }
  return adjusted;
}

} // namespace coolband
