// SPDX-License-Identifier: Apache-2.0
// Robust regression: breakdown, equivariance, exact fits and refusals.
#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>
#include <random>

using namespace coolband;

namespace {

constexpr double k_missing = std::numeric_limits<double>::quiet_NaN();

struct Sample {
  std::vector<std::vector<double>> x;
  std::vector<double> y;
};

// y = 3 + 2 x1 - 0.5 x2 + noise; `outlier_tenths` rows of every ten are lifted by 500.
Sample make_sample(std::size_t rows, double sigma, std::size_t outlier_tenths = 0) {
  std::mt19937 random(42);
  std::normal_distribution<double> noise;
  std::uniform_real_distribution<double> place(0.0, 10.0);
  Sample sample{{std::vector<double>(rows), std::vector<double>(rows)}, std::vector<double>(rows)};
  for (std::size_t i = 0; i < rows; ++i) {
    sample.x[0][i] = place(random);
    sample.x[1][i] = place(random);
    sample.y[i] = 3.0 + 2.0 * sample.x[0][i] - 0.5 * sample.x[1][i] + sigma * noise(random);
    if (i % 10 < outlier_tenths) sample.y[i] += 500.0;
  }
  return sample;
}

RobustFit fit(const Sample& sample, Loss loss, std::span<const double> prior = {}) {
  const auto result = fit_robust(sample.y, sample.x, {.loss = loss}, prior);
  REQUIRE(result.ok());
  return *result;
}

std::string refusal(const std::vector<double>& y, const std::vector<std::vector<double>>& x,
                    std::span<const double> prior = {}) {
  const auto result = fit_robust(y, x, {}, prior);
  REQUIRE(!result.ok());
  CHECK(result.error().kind == ErrorKind::input);
  return result.error().message;
}

void check_near(const RobustFit& computed, std::vector<double> expected, double tolerance) {
  REQUIRE(computed.coefficients.size() == expected.size());
  for (std::size_t j = 0; j < expected.size(); ++j) {
    CAPTURE(j);
    CHECK(std::abs(computed.coefficients[j] - expected[j]) <= tolerance);
  }
}

constexpr Loss k_losses[] = {Loss::squares, Loss::huber, Loss::bisquare};

} // namespace

TEST_CASE("three in ten gross outliers leave the bisquare where it was") {
  const RobustFit robust = fit(make_sample(1000, 0.1, 3), Loss::bisquare);
  check_near(robust, {3.0, 2.0, -0.5}, 0.05);
  CHECK(robust.termination == Termination::converged);
  for (std::size_t i = 0; i < 1000; ++i)
    if (i % 10 < 3) CHECK(robust.weights[i] == 0.0);
  const RobustFit plain = fit(make_sample(1000, 0.1, 3), Loss::squares);
  CHECK(plain.coefficients[0] > 50.0); // the same rows do drag least squares
}

TEST_CASE("on clean data the robust fits lose little and report the scatter") {
  const Sample sample = make_sample(20000, 0.7);
  const RobustFit plain = fit(sample, Loss::squares);
  for (const Loss loss : k_losses) {
    const RobustFit robust = fit(sample, loss);
    check_near(robust, {3.0, 2.0, -0.5}, 0.05);
    CHECK(robust.scale == doctest::Approx(0.7).epsilon(0.03));
    // 95 % efficiency: standard errors larger by about 1 / sqrt(0.95).
    for (std::size_t j = 0; j < 3; ++j)
      CHECK(robust.standard_errors[j] / plain.standard_errors[j] ==
            doctest::Approx(loss == Loss::squares ? 1.0 : 1.026).epsilon(0.02));
  }
}

TEST_CASE("changing the units of the response changes the coefficients alike") {
  const Sample sample = make_sample(200, 0.5, 1);
  Sample moved = sample;
  for (double& y : moved.y) y = 1.8 * y + 32.0;
  for (const Loss loss : k_losses) {
    const RobustFit before = fit(sample, loss);
    const RobustFit after = fit(moved, loss);
    check_near(after,
               {1.8 * before.coefficients[0] + 32.0, 1.8 * before.coefficients[1],
                1.8 * before.coefficients[2]},
               1e-6);
    CHECK(after.scale == doctest::Approx(1.8 * before.scale).epsilon(1e-7));
    CHECK(after.standard_errors[1] ==
          doctest::Approx(1.8 * before.standard_errors[1]).epsilon(1e-6));
  }
}

TEST_CASE("changing the units of a column changes its coefficient and the intercept") {
  const Sample sample = make_sample(200, 0.5, 1);
  Sample moved = sample;
  for (double& x : moved.x[0]) x = 1000.0 * x + 273150.0;
  for (const Loss loss : k_losses) {
    const RobustFit before = fit(sample, loss);
    const RobustFit after = fit(moved, loss);
    CHECK(1000.0 * after.coefficients[1] == doctest::Approx(before.coefficients[1]).epsilon(1e-7));
    CHECK(after.coefficients[0] + 273150.0 * after.coefficients[1] ==
          doctest::Approx(before.coefficients[0]).epsilon(1e-6));
    CHECK(1000.0 * after.standard_errors[1] ==
          doctest::Approx(before.standard_errors[1]).epsilon(1e-6));
    CHECK(after.iterations == before.iterations);
  }
}

TEST_CASE("the order of the rows does not matter") {
  Sample sample = make_sample(300, 0.5, 2);
  const RobustFit before = fit(sample, Loss::bisquare);
  for (auto* column : {&sample.x[0], &sample.x[1], &sample.y})
    std::reverse(column->begin(), column->end());
  check_near(fit(sample, Loss::bisquare), before.coefficients, 1e-7);
}

TEST_CASE("rows without scatter are an exact fit") {
  for (const Loss loss : k_losses) {
    const RobustFit exact = fit(make_sample(50, 0.0), loss);
    check_near(exact, {3.0, 2.0, -0.5}, 1e-12);
    CHECK(exact.termination == Termination::exact_fit);
    CHECK(exact.scale == 0.0);
    CHECK(exact.standard_errors == std::vector<double>{0.0, 0.0, 0.0});
    CHECK(
        std::all_of(exact.weights.begin(), exact.weights.end(), [](double w) { return w == 1.0; }));
  }
}

TEST_CASE("when most rows fit exactly the bisquare finds them and drops the others") {
  const RobustFit exact = fit(make_sample(100, 0.0, 2), Loss::bisquare);
  check_near(exact, {3.0, 2.0, -0.5}, 1e-9);
  CHECK(exact.termination == Termination::exact_fit);
  for (std::size_t i = 0; i < 100; ++i) CHECK(exact.weights[i] == (i % 10 < 2 ? 0.0 : 1.0));
}

TEST_CASE("an exact fit keeps the rows that only rounding moved") {
  std::vector<double> x(50);
  std::iota(x.begin(), x.end(), 0.0);
  std::vector<double> y = x;
  for (double& value : y) value *= 2.0;
  y[7] += 5e-12;
  y[31] += 1e-9;
  const auto exact = fit_robust(y, std::vector<std::vector<double>>{x}, {.loss = Loss::bisquare});
  REQUIRE(exact.ok());
  CHECK(exact->termination == Termination::exact_fit);
  CHECK(exact->weights[7] == 1.0);
  CHECK(exact->weights[31] == 0.0);
}

TEST_CASE("as many rows as coefficients leave no residual freedom") {
  const auto line =
      fit_robust(std::vector<double>{1.0, 3.0}, std::vector<std::vector<double>>{{0.0, 1.0}});
  REQUIRE(line.ok());
  check_near(*line, {1.0, 2.0}, 1e-14);
  CHECK(line->termination == Termination::exact_fit);
  CHECK(std::isnan(line->standard_errors[0]));
}

TEST_CASE("without columns the fit is a robust mean") {
  const std::vector<double> y{1.0, 2.0, 3.0, 4.0, 1000.0};
  const auto mean = fit_robust(y, {}, {.loss = Loss::squares});
  const auto robust = fit_robust(y, {}, {.loss = Loss::bisquare});
  REQUIRE(mean.ok());
  REQUIRE(robust.ok());
  CHECK(mean->coefficients[0] == doctest::Approx(202.0));
  CHECK(mean->standard_errors[0] == doctest::Approx(mean->scale / std::sqrt(5.0)));
  CHECK(robust->coefficients[0] == doctest::Approx(2.5).epsilon(1e-9));
}

TEST_CASE("through the origin there is one coefficient a column and no centring") {
  Sample sample = make_sample(1000, 0.1, 3);
  for (std::size_t i = 0; i < sample.y.size(); ++i) sample.y[i] -= 3.0;
  const auto robust = fit_robust(sample.y, sample.x, {.loss = Loss::bisquare, .intercept = false});
  REQUIRE(robust.ok());
  check_near(*robust, {2.0, -0.5}, 0.02);
  CHECK(robust->standard_errors.size() == 2);
  // A column of ones in place of the intercept gives the same fit.
  Sample plain = make_sample(200, 0.5, 1);
  const RobustFit inside = fit(plain, Loss::huber);
  plain.x.insert(plain.x.begin(), std::vector<double>(200, 1.0));
  const auto beside = fit_robust(plain.y, plain.x, {.loss = Loss::huber, .intercept = false});
  REQUIRE(beside.ok());
  check_near(*beside, inside.coefficients, 1e-7);
  for (std::size_t j = 0; j < 3; ++j)
    CHECK(beside->standard_errors[j] == doctest::Approx(inside.standard_errors[j]).epsilon(1e-7));
}

TEST_CASE("through the origin a column of zeros or no column at all is refused") {
  const std::vector<double> y{1.0, 2.0, 4.0};
  const RobustFitOptions through_origin{.loss = Loss::huber, .intercept = false};
  const auto none = fit_robust(y, {}, through_origin);
  REQUIRE(!none.ok());
  CHECK(none.error().message == "regression: neither a column nor an intercept to fit");
  const auto zero =
      fit_robust(y, std::vector<std::vector<double>>{{0.0, 0.0, 0.0}}, through_origin);
  REQUIRE(!zero.ok());
  CHECK(zero.error().message == "regression: a column is zero or follows from the others");
}

TEST_CASE("a whole prior weight counts a row as often as it says") {
  Sample sample = make_sample(60, 0.5, 1);
  std::vector<double> prior(60, 1.0);
  prior[7] = 3.0;
  prior[11] = 0.0;
  Sample repeated = sample;
  for (auto* column : {&repeated.x[0], &repeated.x[1], &repeated.y}) {
    column->insert(column->end(), 2, (*column)[7]);
    column->erase(column->begin() + 11);
  }
  // 61 rows in all: an odd count, where the weighted median has no middle two to average.
  for (const Loss loss : k_losses)
    check_near(fit(sample, loss, prior), fit(repeated, loss).coefficients, 1e-7);
}

TEST_CASE("equal prior weights of any size change nothing") {
  const Sample sample = make_sample(60, 0.5, 1);
  const std::vector<double> prior(60, 7.0);
  for (const Loss loss : k_losses) {
    const RobustFit weighted = fit(sample, loss, prior);
    check_near(weighted, fit(sample, loss).coefficients, 1e-8);
    CHECK(weighted.standard_errors[1] ==
          doctest::Approx(fit(sample, loss).standard_errors[1]).epsilon(1e-7));
  }
}

TEST_CASE("input that cannot be fitted is refused with the reason") {
  const std::vector<double> y{1.0, 2.0, 4.0, 8.0};
  const std::vector<double> x{1.0, 2.0, 3.0, 5.0};
  const std::string deficient = "regression: a column is constant or follows from the others";
  CHECK(refusal({}, {}) == "regression: 0 rows for 1 coefficients");
  CHECK(refusal({1.0}, {{1.0}}) == "regression: 1 rows for 2 coefficients");
  CHECK(refusal(y, {x, {1.0, 2.0}}) == "regression: column 2 has 2 rows, not 4");
  CHECK(refusal(y, {{0.1, 0.1, 0.1, 0.1}}) == deficient);
  CHECK(refusal(y, {x, x}) == deficient);
  CHECK(refusal(y, {x, {33.8, 35.6, 37.4, 41.0}}) == deficient); // the same in °F
  CHECK(refusal({1.0, k_missing, 2.0}, {{1.0, 2.0, 3.0}}) ==
        "regression: the response holds a value that is not finite");
  CHECK(refusal(y, {{1.0, 2.0, 3.0, std::numeric_limits<double>::infinity()}}) ==
        "regression: column 1 holds a value that is not finite");
}

TEST_CASE("prior weights must be usable and leave enough rows") {
  const std::vector<double> y{1.0, 2.0, 4.0, 8.0};
  const std::vector<std::vector<double>> x{{1.0, 2.0, 3.0, 5.0}};
  CHECK(refusal(y, x, std::vector<double>{1.0, 1.0}) == "regression: 2 prior weights for 4 rows");
  CHECK(refusal(y, x, std::vector<double>{1.0, 1.0, 1.0, -1.0}) ==
        "regression: a prior weight is negative or not finite");
  CHECK(refusal(y, x, std::vector<double>{1.0, k_missing, 1.0, 1.0}) ==
        "regression: a prior weight is negative or not finite");
  CHECK(refusal(y, x, std::vector<double>{1.0, 0.0, 0.0, 0.0}) ==
        "regression: 1 rows for 2 coefficients");
}

TEST_CASE("a column that varies only in rows without weight is constant") {
  const std::vector<double> y{1.0, 2.0, 4.0, 8.0};
  const std::vector<std::vector<double>> x{{1.0, 1.0, 1.0, 5.0}};
  CHECK(refusal(y, x, std::vector<double>{1.0, 1.0, 1.0, 0.0}) ==
        "regression: a column is constant or follows from the others");
}

TEST_CASE("options are checked and the violated rule is named") {
  CHECK(RobustFitOptions{}.validate().empty());
  CHECK(RobustFitOptions{.tuning = -1.0}.validate() ==
        "tuning = -1: must be 0 or a positive number");
  CHECK(RobustFitOptions{.max_iterations = 0}.validate() ==
        "max_iterations = 0: must be at least 1");
  CHECK(RobustFitOptions{.tolerance = 0.0}.validate() ==
        "tolerance = 0: must be a positive number");
  const auto fit = fit_robust(std::vector<double>{1.0}, {}, {.max_iterations = 0});
  REQUIRE(!fit.ok());
  CHECK(fit.error().kind == ErrorKind::usage);
}

TEST_CASE("an exhausted iteration limit is reported as such") {
  const Sample sample = make_sample(100, 0.5, 2);
  const auto fit = fit_robust(sample.y, sample.x, {.loss = Loss::huber, .max_iterations = 2});
  REQUIRE(fit.ok());
  CHECK(fit->termination == Termination::iteration_limit);
  CHECK(fit->iterations == 2);
}

TEST_CASE("a very large tuning constant turns the robust fits into least squares") {
  const Sample sample = make_sample(100, 0.5, 1);
  const RobustFit plain = fit(sample, Loss::squares);
  const auto huber = fit_robust(sample.y, sample.x, {.loss = Loss::huber, .tuning = 1e6});
  REQUIRE(huber.ok());
  check_near(*huber, plain.coefficients, 1e-9);
  CHECK(huber->standard_errors[0] == doctest::Approx(plain.standard_errors[0]).epsilon(1e-9));
}

TEST_CASE("the scale of a fit is the median size of its residuals, whatever their number") {
  constexpr double k_mad_to_normal = 1.4826022185056018; // 1 / Φ⁻¹(3/4)
  for (const std::size_t rows : {20U, 31U, 32U, 33U, 64U, 200U, 501U}) {
    for (const std::size_t outlier_tenths : {0U, 2U, 4U}) {
      const Sample sample = make_sample(rows, 0.7, outlier_tenths);
      const RobustFit found = fit(sample, Loss::bisquare);
      std::vector<double> sizes;
      for (std::size_t i = 0; i < rows; ++i)
        sizes.push_back(std::abs(sample.y[i] - found.coefficients[0] -
                                 found.coefficients[1] * sample.x[0][i] -
                                 found.coefficients[2] * sample.x[1][i]));
      CHECK(found.scale == doctest::Approx(k_mad_to_normal * median(sizes)).epsilon(1e-9));
    }
  }
}
