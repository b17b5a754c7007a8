// SPDX-License-Identifier: Apache-2.0
#include "numeric/sequential_ranks.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;

TEST_CASE("scores depend on the order of the values alone") {
  SequentialRanks plain;
  SequentialRanks wild;
  for (const double value : {0.3, -1.2, 2.0, 0.9, -0.4, 3.0})
    CHECK(plain.score(value) == wild.score(std::exp(5.0 * value)));
}

TEST_CASE("the largest so far counts the more, the more there were before") {
  SequentialRanks ranks;
  double last = -1.0;
  for (int i = 0; i < 200; ++i) {
    const double score = ranks.score(i);
    CHECK(score > last);
    last = score;
  }
  CHECK(last < 3.0);
}

TEST_CASE("equal values have no score") {
  SequentialRanks ranks;
  for (int i = 0; i < 10; ++i) CHECK(std::abs(ranks.score(80.0)) < 1e-12);
}
