// SPDX-License-Identifier: Apache-2.0
// The order statistic of all pairwise distances.
#include "numeric/scale_qn.hpp"

#include "numeric/special_values.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

/// 1 / (√2 Φ⁻¹(5/8))
constexpr double k_consistent = 2.2191444659850764;

double small_sample(std::size_t count) {
  constexpr std::array<double, 10> k_few{0,     0,     0.399, 0.994, 0.512,
                                         0.844, 0.611, 0.857, 0.669, 0.872};
  if (count < k_few.size()) return k_few.at(count);
  const auto n = static_cast<double>(count);
  return n / (n + (count % 2 == 1 ? 1.4 : 3.8));
}

} // namespace

double qn_scale(const std::vector<double>& values) {
  const std::size_t n = values.size();
  if (n < 2) return k_nan;
  std::vector<double> distances;
  distances.reserve(n * (n - 1) / 2);
  for (std::size_t i = 1; i < n; ++i) {
    for (std::size_t j = 0; j < i; ++j) distances.push_back(std::abs(values[i] - values[j]));
  }
  const std::size_t half = n / 2 + 1;
  const auto kth = distances.begin() + static_cast<std::ptrdiff_t>(half * (half - 1) / 2 - 1);
  std::nth_element(distances.begin(), kth, distances.end());
  return k_consistent * small_sample(n) * *kth;
}

double qn_freedom(std::size_t count) {
  constexpr std::array<double, 6> k_by_half{0, 1.0, 2.05, 3.3, 4.65, 6.1};
  constexpr double k_each_half_more = 1.4;
  if (count < 3) return 0.0;
  const std::size_t half = count / 2;
  if (half < k_by_half.size()) return k_by_half.at(half);
  return k_by_half.back() + k_each_half_more * static_cast<double>(half + 1 - k_by_half.size());
}

} // namespace coolband
