// SPDX-License-Identifier: Apache-2.0
// Two lines that meet, found again.
#include "segment/broken_stick.hpp"

#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstddef>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

struct Points {
  std::vector<double> x;
  std::vector<double> y;
};

/// Rises by `before` a unit up to x = 12, by `after` from there to x = 30.
Points bent(double before, double after, double noise = 0.0, std::uint64_t seed = 1) {
  Noise random(seed);
  Points points;
  for (int i = 0; i <= 30; ++i) {
    const double x = i;
    points.x.push_back(x);
    points.y.push_back(5.0 + before * std::min(x, 12.0) + after * std::max(x - 12.0, 0.0) +
                       noise * random.next());
  }
  return points;
}

} // namespace

TEST_CASE("a line has its slope, and points above each other have none") {
  const std::vector<double> x{1.0, 2.0, 4.0};
  const std::vector<double> y{3.0, 5.0, 9.0};
  CHECK(line_slope(x, y).value() == doctest::Approx(2.0));
  const std::vector<double> same{1.0, 1.0, 1.0};
  CHECK_FALSE(line_slope(same, y));
  CHECK_FALSE(line_slope({}, {}));
}

TEST_CASE("the slope of a line is that of NIST's certified Norris data") {
  // NIST StRD, Norris (itl.nist.gov/div898/strd): slope 1.00211681802045, 36 points.
  const std::vector<double> x{0.2,   337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6,
                              777.0, 558.2, 0.4,   0.6,   775.5, 666.9, 338.0, 447.5, 11.6,
                              556.0, 228.1, 995.8, 887.6, 120.2, 0.3,   0.3,   556.8, 339.1,
                              887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5};
  const std::vector<double> y{0.1,   338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1,
                              778.9, 559.2, 0.3,   0.1,   778.1, 668.8, 339.3, 448.9, 10.8,
                              557.7, 228.3, 998.0, 888.8, 119.6, 0.3,   0.6,   557.6, 339.3,
                              888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};
  CHECK(line_slope(x, y).value() == doctest::Approx(1.00211681802045).epsilon(1e-12));
}

TEST_CASE("a bend without noise is found exactly") {
  for (const double after : {-1.0, 0.0, 0.5, 3.0}) {
    const Points points = bent(2.0, after);
    const auto stick = fit_broken_stick(points.x, points.y, 3);
    REQUIRE(stick);
    CHECK(stick->x == 12.0);
    CHECK(stick->y == doctest::Approx(29.0));
    CHECK(stick->slope_before == doctest::Approx(2.0));
    CHECK(stick->slope_after == doctest::Approx(after).epsilon(1e-9));
  }
}

TEST_CASE("a bend in noise is found within a step or two") {
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    const Points points = bent(1.0, 0.0, 0.5, seed);
    const auto stick = fit_broken_stick(points.x, points.y, 3);
    REQUIRE(stick);
    CHECK(std::abs(stick->x - 12.0) <= 2.0);
    CHECK(std::abs(stick->y - 17.0) <= 1.0);
  }
}

TEST_CASE("too few points, or none apart, make no stick") {
  const Points points = bent(1.0, 0.0);
  const std::span<const double> x(points.x);
  const std::span<const double> y(points.y);
  CHECK(fit_broken_stick(x.first(7), y.first(7), 3));
  CHECK_FALSE(fit_broken_stick(x.first(6), y.first(6), 3));
  CHECK_FALSE(fit_broken_stick({}, {}, 3));
  const std::vector<double> same(20, 4.0);
  CHECK_FALSE(fit_broken_stick(same, y.first(20), 3));
}
