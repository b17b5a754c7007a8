// SPDX-License-Identifier: Apache-2.0
#include "coolband/numeric/order_statistics.hpp"
#include "numeric/distributions.hpp"
#include "numeric/scale_qn.hpp"
#include "numeric/splitmix.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <vector>

using namespace coolband;

namespace {

std::vector<double> normals(SplitMix& random, std::size_t count) {
  std::vector<double> values(count);
  for (double& value : values) value = normal_quantile(random.share() + 1e-17);
  return values;
}

} // namespace

TEST_CASE("Qn needs two values, and nearly half of them cannot move it far") {
  CHECK(std::isnan(qn_scale({})));
  CHECK(std::isnan(qn_scale({1.0})));
  CHECK(qn_scale({5.0, 5.0, 5.0}) == 0.0);
  SplitMix random(3);
  auto values = normals(random, 21);
  const double sound = qn_scale(values);
  for (std::size_t i = 0; i < 9; ++i) values[i] += 1e6;
  CHECK(qn_scale(values) < 5.0 * sound);
}

TEST_CASE("Qn of a normal sample is its standard deviation on average, however few the values") {
  SplitMix random(11);
  for (const std::size_t count : {3U, 4U, 7U, 10U, 25U}) {
    double sum = 0.0;
    for (int i = 0; i < 4000; ++i) sum += qn_scale(normals(random, count));
    CAPTURE(count);
    CHECK(sum / 4000.0 == doctest::Approx(1.0).epsilon(0.05));
  }
}

TEST_CASE("one more value of the same kind lies beyond the limit as often as Student's t says") {
  SplitMix random(29);
  constexpr int k_trials = 20'000;
  for (const std::size_t count : {4U, 6U, 9U, 16U}) {
    const double limit = -student_t_quantile(0.005, qn_freedom(count)) *
                         std::sqrt(1.0 + std::numbers::pi / (2.0 * static_cast<double>(count)));
    int beyond = 0;
    for (int i = 0; i < k_trials; ++i) {
      auto others = normals(random, count);
      const double value = normals(random, 1).front();
      const double qn = qn_scale(others);
      if (std::abs(value - median(std::move(others))) > limit * qn) ++beyond;
    }
    CAPTURE(count);
    CHECK(beyond > k_trials * 0.006);
    CHECK(beyond < k_trials * 0.012);
  }
}

TEST_CASE("fewer than three others tell no freedom") {
  CHECK(qn_freedom(2) == 0.0);
  for (std::size_t count = 3; count < 60; ++count)
    CHECK(qn_freedom(count) >= qn_freedom(count - 1));
}
