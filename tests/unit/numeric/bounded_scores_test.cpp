// SPDX-License-Identifier: Apache-2.0
#include "numeric/bounded_scores.hpp"
#include "numeric/distributions.hpp"
#include "numeric/splitmix.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <vector>

using namespace coolband;

namespace {

struct Moments4 {
  double variance = 0.0;
  double kurtosis = 0.0;
};

/// Of the scores of many short series.
Moments4 moments_of(const std::function<double(double)>& quantile) {
  SplitMix random(23);
  double square = 0.0;
  double fourth = 0.0;
  int count = 0;
  for (int series = 0; series < 300; ++series) {
    BoundedScores scores(1e-6);
    for (std::size_t i = 0; i < 60; ++i) {
      const double score = scores.score(quantile(random.share() + 1e-17));
      if (i < BoundedScores::k_unscored) continue;
      square += score * score;
      fourth += std::pow(score, 4);
      ++count;
    }
  }
  square /= count;
  return {square, fourth / count / (square * square)};
}

} // namespace

TEST_CASE("scores do not depend on the unit, have the sign of the residual, and a bound") {
  BoundedScores plain(1e-9);
  BoundedScores scaled(1e-9);
  SplitMix random(2);
  for (int i = 0; i < 50; ++i) {
    const double residual = random.share() - 0.5;
    const double score = plain.score(residual);
    CHECK(score == doctest::Approx(scaled.score(1000.0 * residual)));
    CHECK(score * residual >= 0.0);
  }
  CHECK(plain.score(1e9) == BoundedScores::k_most_score);
  CHECK(plain.score(-1e9) == -BoundedScores::k_most_score);
}

TEST_CASE("a few residuals tell no spread yet") {
  BoundedScores scores(0.5);
  for (std::size_t i = 0; i < BoundedScores::k_unscored; ++i) {
    CHECK(scores.spread() == 0.5);
    CHECK(scores.score(3.0) == 0.0);
  }
  CHECK(scores.spread() == doctest::Approx(3.0 * 1.4826).epsilon(1e-4));
}

TEST_CASE("the least spread holds for residuals that hardly differ") {
  BoundedScores scores(1.0);
  for (int i = 0; i < 30; ++i) CHECK(std::abs(scores.score(i % 2 == 0 ? 0.01 : -0.01)) < 0.02);
}

TEST_CASE("whatever the residuals, scores vary hardly more than a normal and have lighter tails") {
  Moments4 moments;
  SUBCASE("normal") { moments = moments_of(normal_quantile); }
  SUBCASE("Student's t with 3 degrees of freedom") {
    moments = moments_of([](double p) { return student_t_quantile(p, 3.0); });
  }
  SUBCASE("uniform") {
    moments = moments_of([](double p) { return p - 0.5; });
  }
  SUBCASE("two values") {
    moments = moments_of([](double p) { return p < 0.5 ? -1.0 : 1.0; });
  }
  CAPTURE(moments.variance);
  CAPTURE(moments.kurtosis);
  CHECK(moments.variance < 1.1);
  CHECK(moments.kurtosis < 3.0);
}
