// SPDX-License-Identifier: Apache-2.0
// Pivots from a sample, so that a long series is gone through one and a half times (R. W. Floyd and
// R. L. Rivest, Communications of the ACM 18 (1975) 165-172); the library's selection for short
// ones and for those that pivots do not shorten.
#include "numeric/selection.hpp"

#include <algorithm>
#include <array>

namespace coolband {

namespace {

// Brings those that `before` holds for to the front and tells how many they are. Written without a
// branch: where a value goes cannot be foretold.
template <class Before>
std::size_t part(std::span<double> values, Before before) {
  std::size_t count = 0;
  for (double& value : values) {
    const double now = value;
    value = values[count];
    values[count] = now;
    count += before(now) ? 1U : 0U;
  }
  return count;
}

constexpr std::size_t k_few = 48;
constexpr std::size_t k_most_parts = 32;

/// How many values a pivot is chosen among, and by how many of them it lies to the side of the
/// rank: about the standard deviation of a median's place.
struct Sampling {
  std::size_t count;
  std::size_t aside;
};
constexpr Sampling k_of_many{63, 4};
constexpr Sampling k_of_some{15, 2};
constexpr std::size_t k_many = 1500;

// A value of `values` that the one of rank `rank` is likely to be just below, or just above when
// that is in the upper half: what is left after a part or two is short.
double near_rank(std::span<const double> values, std::size_t rank) {
  const Sampling sampling = values.size() < k_many ? k_of_some : k_of_many;
  std::array<double, k_of_many.count> room;
  const auto sample = std::span(room).first(sampling.count);
  for (std::size_t i = 0; i < sample.size(); ++i)
    sample[i] = values[(2 * i + 1) * values.size() / (2 * sample.size())];
  const std::size_t place = rank * sample.size() / values.size();
  const bool lower = 2 * rank < values.size();
  const std::size_t pivot = lower ? std::min(place + sampling.aside, sample.size() - 1)
                                  : place - std::min(place, sampling.aside);
  const auto at = sample.begin() + static_cast<std::ptrdiff_t>(pivot);
  std::nth_element(sample.begin(), at, sample.end());
  return *at;
}

} // namespace

void select(std::span<double> values, std::size_t rank) {
  for (std::size_t i = 0; i < k_most_parts && values.size() > k_few; ++i) {
    const double pivot = near_rank(values, rank);
    const std::size_t below = part(values, [&](double value) { return value < pivot; });
    if (rank < below) {
      values = values.first(below);
      continue;
    }
    values = values.subspan(below);
    rank -= below;
    if (below > 0) continue;
    // None is smaller: those that are the same are in their places once they are in front.
    const std::size_t same = part(values, [&](double value) { return value <= pivot; });
    if (rank < same) return;
    values = values.subspan(same);
    rank -= same;
  }
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(rank),
                   values.end());
}

} // namespace coolband
