// SPDX-License-Identifier: Apache-2.0
// Selection against sorting, on what pivots find hard: ties, order, and nothing but one value.
#include "numeric/selection.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "support/random.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

double made_value(Random& random, std::size_t kind, std::size_t i) {
  switch (kind) {
  case 0: return static_cast<double>(random.below(7));
  case 1: return random.between(-1.0, 1.0);
  case 2: return static_cast<double>(i);
  case 3: return -static_cast<double>(i / 3);
  case 4: return i % 63 == 31 ? 1.0 : random.between(2.0, 3.0); // few small ones, evenly spaced
  default: return 88.5;
  }
}

} // namespace

TEST_CASE("the value of a rank is in its place, smaller ones before and larger ones behind") {
  Random random(29);
  for (std::size_t round = 0; round < 300; ++round) {
    std::vector<double> values(1 + random.below(round % 10 == 0 ? 20000 : 700));
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = made_value(random, round % 6, i);
    std::vector<double> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    const std::size_t rank = random.below(values.size());
    select(values, rank);
    CHECK(values[rank] == sorted[rank]);
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(rank);
    CHECK(*std::max_element(values.begin(), at + 1) == sorted[rank]);
    CHECK(*std::min_element(at, values.end()) == sorted[rank]);
    std::sort(values.begin(), values.end());
    CHECK(values == sorted);
  }
}

TEST_CASE("a rank just beyond those that tie with the smallest") {
  Random random(37);
  for (const std::size_t size : {200U, 900U, 5000U}) {
    std::vector<double> values(size);
    for (std::size_t i = 0; i < size; ++i)
      values[i] = i % 20 < 9 ? 0.0 : random.between(1.0, 2.0); // 45 % of them tie
    std::vector<double> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    for (const std::size_t rank : {size / 2, 46 * size / 100, size - 1}) {
      std::vector<double> mixed = values;
      select(mixed, rank);
      CHECK(mixed[rank] == sorted[rank]);
    }
  }
}

TEST_CASE("a quantile in place is that of the sorted values") {
  Random random(31);
  for (const double p : {0.0, 0.025, 0.31, 0.5, 0.95, 1.0}) {
    std::vector<double> values(2000 + random.below(2000));
    for (double& value : values) value = random.between(0.0, 50.0);
    std::vector<double> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    CHECK(quantile_of(values, p) == quantile_sorted(sorted, p));
  }
}
