// SPDX-License-Identifier: Apache-2.0
// The MM-estimate: breakdown, leverage, independence of order, weights, exact fits and refusals.
#include "numeric/mm_fit.hpp"

#include "numeric/distributions.hpp"
#include "numeric/loss.hpp"
#include "numeric/splitmix.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

using namespace coolband;

namespace {

struct MadeRows {
  std::vector<std::vector<double>> x;
  std::vector<double> y;
};

// y = 3 + 2 x1 - 0.5 x2 + noise with x in 0..10. `bad` rows, spread over all, lie far off in x1
// (at 30) and at -100 in y: they agree with each other on another plane.
MadeRows made_rows(std::size_t rows, double sigma, std::size_t bad = 0) {
  SplitMix random(7);
  MadeRows sample{{std::vector<double>(rows), std::vector<double>(rows)},
                  std::vector<double>(rows)};
  for (std::size_t i = 0; i < rows; ++i) {
    double& x1 = sample.x[0][i];
    double& x2 = sample.x[1][i];
    x1 = 10.0 * random.share();
    x2 = 10.0 * random.share();
    const double noise = sigma * normal_quantile(0.5 * 0x1.0p-53 + random.share());
    const bool is_bad = (i * bad) % rows < bad;
    if (is_bad) x1 += 30.0;
    sample.y[i] = is_bad ? -100.0 + noise : 3.0 + 2.0 * x1 - 0.5 * x2 + noise;
  }
  return sample;
}

RobustFit fit(const MadeRows& sample, std::span<const double> prior = {},
              const MmFitOptions& options = {}) {
  const auto result = fit_mm(sample.y, sample.x, options, prior);
  REQUIRE(result.ok());
  return *result;
}

void check_mm_fit(const RobustFit& computed, const std::vector<double>& expected,
                  double tolerance) {
  REQUIRE(computed.coefficients.size() == expected.size());
  for (std::size_t j = 0; j < expected.size(); ++j) {
    CAPTURE(j);
    CHECK(std::abs(computed.coefficients[j] - expected[j]) <= tolerance);
  }
}

std::string mm_refusal(const std::vector<double>& y, const std::vector<std::vector<double>>& x,
                       const MmFitOptions& options = {}) {
  const auto result = fit_mm(y, x, options);
  REQUIRE(!result.ok());
  return result.error().message;
}

} // namespace

TEST_CASE("the loss of the S-estimate is one half on average at the standard normal") {
  double mean = 0.0;
  const double step = 1e-3;
  for (double z = -9.0; z <= 9.0; z += step)
    mean += step * bisquare_rho(z, k_s_tuning) * std::exp(-0.5 * z * z);
  CHECK(mean / std::sqrt(2.0 * std::numbers::pi) == doctest::Approx(0.5).epsilon(1e-6));
}

TEST_CASE("bad leverage rows just below half leave the MM-estimate where it was") {
  const RobustFit robust = fit(made_rows(200, 0.2, 92));
  check_mm_fit(robust, {3.0, 2.0, -0.5}, 0.15);
  CHECK(robust.termination == Termination::converged);
  CHECK(std::count(robust.weights.begin(), robust.weights.end(), 0.0) >= 92);
  // The same rows carry the M-estimate away.
  const MadeRows sample = made_rows(200, 0.2, 92);
  const auto m_estimate = fit_robust(sample.y, sample.x, {.loss = Loss::bisquare});
  REQUIRE(m_estimate.ok());
  CHECK(m_estimate->coefficients[1] < 0.0);
}

// Fewer than (12 - 2) / 2 bad rows are borne; together at one leverage point they are worst.
TEST_CASE("of a dozen drives four bad ones are borne, all starts being tried") {
  MadeRows sample{{{}}, {}};
  for (int i = 0; i < 12; ++i) {
    const bool bad = i % 3 == 1;
    sample.x[0].push_back(bad ? 30.0 : i);
    sample.y.push_back(bad ? -100.0 : 3.0 + 2.0 * i + 0.1 * (i * 7 % 5 - 2));
  }
  const RobustFit robust = fit(sample);
  check_mm_fit(robust, {3.0, 2.0}, 0.15);
  for (std::size_t i = 0; i < 12; ++i) CHECK((robust.weights[i] > 0.0) == (i % 3 != 1));
  const auto m_estimate = fit_robust(sample.y, sample.x, {.loss = Loss::bisquare});
  REQUIRE(m_estimate.ok());
  CHECK(m_estimate->coefficients[1] < 0.0); // carried away by the same rows
}

TEST_CASE("on clean data the MM-estimate is about as sharp as least squares") {
  const MadeRows sample = made_rows(4000, 0.7);
  const RobustFit robust = fit(sample);
  const auto plain = fit_robust(sample.y, sample.x, {.loss = Loss::squares});
  REQUIRE(plain.ok());
  CHECK(robust.scale == doctest::Approx(0.7).epsilon(0.05));
  for (std::size_t j = 0; j < 3; ++j) {
    CHECK(std::abs(robust.coefficients[j] - plain->coefficients[j]) <= plain->standard_errors[j]);
    // 95 % efficiency: standard errors larger by about 1 / sqrt(0.95).
    CHECK(robust.standard_errors[j] / plain->standard_errors[j] ==
          doctest::Approx(1.026).epsilon(0.03));
  }
}

TEST_CASE("rejected leverage rows add no precision") {
  const MadeRows all = made_rows(200, 0.2, 60);
  MadeRows good{{{}, {}}, {}};
  for (std::size_t i = 0; i < all.y.size(); ++i) {
    if (all.y[i] < -50.0) continue;
    good.y.push_back(all.y[i]);
    for (std::size_t j = 0; j < 2; ++j) good.x[j].push_back(all.x[j][i]);
  }
  REQUIRE(good.y.size() == 140);
  const RobustFit with_bad = fit(all);
  const RobustFit without = fit(good);
  for (std::size_t j = 0; j < 3; ++j) {
    const double ratio = with_bad.standard_errors[j] / without.standard_errors[j];
    CHECK(ratio > 0.8);
    CHECK(ratio < 2.0);
  }
}

TEST_CASE("the order of the rows changes no bit of the MM-estimate") {
  for (const std::size_t rows : {13UL, 300UL, 2500UL}) {
    MadeRows sample = made_rows(rows, 0.5, rows / 5);
    const RobustFit before = fit(sample);
    for (auto* column : {&sample.x[0], &sample.x[1], &sample.y}) {
      std::reverse(column->begin(), column->end());
      std::rotate(column->begin(), column->begin() + static_cast<std::ptrdiff_t>(rows / 3),
                  column->end());
    }
    const RobustFit after = fit(sample);
    CHECK(after.coefficients == before.coefficients);
    CHECK(after.standard_errors == before.standard_errors);
    CHECK(after.scale == before.scale);
    std::vector<double> weights = before.weights;
    std::reverse(weights.begin(), weights.end());
    std::rotate(weights.begin(), weights.begin() + static_cast<std::ptrdiff_t>(rows / 3),
                weights.end());
    CHECK(after.weights == weights);
  }
}

TEST_CASE("another seed finds the same minimum") {
  const MadeRows sample = made_rows(2500, 0.5, 900);
  const RobustFit one = fit(sample);
  check_mm_fit(fit(sample, {}, {.seed = 1}), one.coefficients, 1e-7);
  check_mm_fit(fit(sample, {}, {.subsets = 50, .seed = 99}), one.coefficients, 1e-7);
}

TEST_CASE("changed units change the MM-estimate alike") {
  const MadeRows sample = made_rows(200, 0.5, 40);
  MadeRows moved = sample;
  for (double& y : moved.y) y = 1.8 * y + 32.0;
  for (double& x : moved.x[0]) x = 1000.0 * x + 273150.0;
  const RobustFit before = fit(sample);
  const RobustFit after = fit(moved);
  CHECK(1000.0 * after.coefficients[1] ==
        doctest::Approx(1.8 * before.coefficients[1]).epsilon(1e-7));
  CHECK(after.coefficients[2] == doctest::Approx(1.8 * before.coefficients[2]).epsilon(1e-7));
  CHECK(after.scale == doctest::Approx(1.8 * before.scale).epsilon(1e-8));
}

TEST_CASE("a row of no prior weight takes no part, and equal weights of any size change nothing") {
  MadeRows sample = made_rows(60, 0.5, 10);
  std::vector<double> prior(60, 7.0);
  check_mm_fit(fit(sample, prior), fit(sample).coefficients, 1e-8);
  prior[11] = 0.0;
  const RobustFit weighted = fit(sample, prior);
  CHECK(weighted.weights.size() == 60);
  for (auto* column : {&sample.x[0], &sample.x[1], &sample.y}) column->erase(column->begin() + 11);
  const RobustFit without = fit(sample);
  check_mm_fit(weighted, without.coefficients, 1e-8);
  CHECK(weighted.standard_errors[1] == doctest::Approx(without.standard_errors[1]).epsilon(1e-7));
}

TEST_CASE("most rows may be bad when they carry less than half of the weight") {
  const MadeRows sample = made_rows(100, 0.2, 70);
  std::vector<double> prior(100);
  for (std::size_t i = 0; i < 100; ++i) prior[i] = sample.y[i] < -50.0 ? 0.2 : 1.0; // 14 of 44
  check_mm_fit(fit(sample, prior), {3.0, 2.0, -0.5}, 0.3);
}

TEST_CASE("rows that agree exactly are found and the others dropped") {
  const RobustFit exact = fit(made_rows(100, 0.0, 40));
  check_mm_fit(exact, {3.0, 2.0, -0.5}, 1e-11);
  CHECK(exact.termination == Termination::exact_fit);
  CHECK(exact.scale == 0.0);
  CHECK(exact.standard_errors == std::vector<double>{0.0, 0.0, 0.0});
  CHECK(std::count(exact.weights.begin(), exact.weights.end(), 1.0) == 60);
}

TEST_CASE("on a coarse grid the least scale keeps the trend that an exact fit would lose") {
  // Whole degrees of 89.9 + 0.02 x: most rows read 90 exactly.
  std::vector<std::vector<double>> x(1);
  std::vector<double> y;
  for (int i = 0; i < 400; ++i) {
    x[0].push_back(0.1 * i);
    y.push_back(std::round(89.9 + 0.02 * x[0].back() + 0.35 * std::sin(2.4 * i)));
  }
  const auto flat = fit_mm(y, x);
  REQUIRE(flat.ok());
  CHECK(flat->termination == Termination::exact_fit);
  CHECK(std::abs(flat->coefficients[1]) <= 1e-12);
  const auto sloped = fit_mm(y, x, {.least_scale = 1.0 / std::sqrt(12.0)});
  REQUIRE(sloped.ok());
  CHECK(sloped->termination == Termination::converged);
  CHECK(sloped->scale == doctest::Approx(1.0 / std::sqrt(12.0)));
  CHECK(sloped->coefficients[1] > 0.005);
  CHECK(sloped->standard_errors[1] > 0.0);
}

TEST_CASE("a column that only one row of thousands tells of is determined by that row") {
  MadeRows sample = made_rows(3000, 0.5);
  sample.x[1].assign(3000, 0.0);
  sample.x[1][1234] = 1.0;
  sample.y[1234] = 3.0 + 2.0 * sample.x[0][1234] - 2.5 + 400.0;
  const RobustFit robust = fit(sample);
  CHECK(robust.coefficients[2] == doctest::Approx(400.0).epsilon(1e-3));
  CHECK(robust.weights[1234] == 1.0);
}

TEST_CASE("without columns the MM-estimate is a location, and through the origin a slope") {
  const std::vector<double> y{1.0, 2.0, 3.0, 4.0, 1000.0, 2000.0};
  const auto centre = fit_mm(y, {});
  REQUIRE(centre.ok());
  CHECK(centre->coefficients[0] == doctest::Approx(2.5).epsilon(0.02));
  const std::vector<std::vector<double>> x{{1.0, 2.0, 3.0, 4.0, 5.0, 6.0}};
  const auto slope = fit_mm(y, x, {.intercept = false});
  REQUIRE(slope.ok());
  CHECK(slope->coefficients.size() == 1);
  CHECK(slope->coefficients[0] == doctest::Approx(1.0).epsilon(1e-9));
}

TEST_CASE("as many rows as coefficients are an exact fit without standard errors") {
  const auto line =
      fit_mm(std::vector<double>{1.0, 3.0}, std::vector<std::vector<double>>{{0.0, 1.0}});
  REQUIRE(line.ok());
  check_mm_fit(*line, {1.0, 2.0}, 1e-13);
  CHECK(line->termination == Termination::exact_fit);
  CHECK(std::isnan(line->standard_errors[0]));
}

TEST_CASE("the MM-estimate refuses what cannot be fitted, with the reason") {
  const std::vector<double> y{1.0, 2.0, 4.0, 8.0};
  const std::vector<double> x{1.0, 2.0, 3.0, 5.0};
  CHECK(mm_refusal({}, {}) == "regression: 0 rows for 1 coefficients");
  CHECK(mm_refusal(y, {x, {1.0, 2.0}}) == "regression: column 2 has 2 rows, not 4");
  CHECK(mm_refusal(y, {x, x}) == "regression: a column is constant or follows from the others");
  CHECK(mm_refusal({1.0, std::nan(""), 2.0}, {{1.0, 2.0, 3.0}}) ==
        "regression: the response holds a value that is not finite");
  CHECK(mm_refusal(y, {x}, {.subsets = 0}) == "regression: subsets = 0: must be at least 1");
  CHECK(mm_refusal(y, {x}, {.least_scale = -1.0}) ==
        "regression: least_scale = -1: must be 0 or a positive number");
  CHECK(mm_refusal(y, {x}, {.tolerance = 0.0}) ==
        "regression: tolerance = 0: must be a positive number");
}
