// SPDX-License-Identifier: Apache-2.0
// Regression against certified and published results.
#include "coolband/numeric/robust_fit.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

using namespace coolband;

namespace {

// Correct digits: minus the decimal logarithm of the relative error.
double digits(double computed, double expected) {
  const double error = std::abs(computed - expected) / std::abs(expected);
  return error == 0.0 ? 17.0 : -std::log10(error);
}

double fewest_digits(const std::vector<double>& computed, const std::vector<double>& expected) {
  REQUIRE(computed.size() == expected.size());
  double fewest = 17.0;
  for (std::size_t i = 0; i < computed.size(); ++i)
    fewest = std::min(fewest, digits(computed[i], expected[i]));
  return fewest;
}

// Brownlee's stack losses: 21 days of a plant that oxidises ammonia.
const std::vector<std::vector<double>> k_stack{
    {80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58, 58, 58, 58, 50, 50, 50, 50, 50, 56, 70},
    {27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18, 17, 18, 19, 18, 18, 19, 19, 20, 20, 20},
    {89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89, 88, 82, 93, 89, 86, 72, 79, 80, 82, 91}};
const std::vector<double> k_stack_loss{42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14,
                                       13, 11, 12, 8,  7,  8,  8,  9,  15, 15};

RobustFit fit_stack(Loss loss) {
  const auto fit = fit_robust(k_stack_loss, k_stack, {.loss = loss});
  REQUIRE(fit.ok());
  REQUIRE(fit->termination == Termination::converged);
  return *fit;
}

} // namespace

// NIST Statistical Reference Datasets, linear regression, lower difficulty.
TEST_CASE("least squares reproduces the certified values of Norris to nine digits") {
  const std::vector<std::vector<double>> x{
      {0.2, 337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
       0.6, 775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
       0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5}};
  const std::vector<double> y{0.1,   338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1,
                              778.9, 559.2, 0.3,   0.1,   778.1, 668.8, 339.3, 448.9, 10.8,
                              557.7, 228.3, 998.0, 888.8, 119.6, 0.3,   0.6,   557.6, 339.3,
                              888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};
  const auto fit = fit_robust(y, x, {.loss = Loss::squares});
  REQUIRE(fit.ok());
  CHECK(fewest_digits(fit->coefficients, {-0.262323073774029, 1.00211681802045}) >= 9.0);
  CHECK(fewest_digits(fit->standard_errors, {0.232818234301152, 0.429796848199937e-3}) >= 9.0);
  CHECK(digits(fit->scale, 0.884796396144373) >= 9.0);
}

// NIST Statistical Reference Datasets, linear regression, higher difficulty.
TEST_CASE("least squares reproduces the certified values of Longley to nine digits") {
  const std::vector<std::vector<double>> x{
      {83.0, 88.5, 88.2, 89.5, 96.2, 98.1, 99.0, 100.0, 101.2, 104.6, 108.4, 110.8, 112.6, 114.2,
       115.7, 116.9},
      {234289, 259426, 258054, 284599, 328975, 346999, 365385, 363112, 397469, 419180, 442769,
       444546, 482704, 502601, 518173, 554894},
      {2356, 2325, 3682, 3351, 2099, 1932, 1870, 3578, 2904, 2822, 2936, 4681, 3813, 3931, 4806,
       4007},
      {1590, 1456, 1616, 1650, 3099, 3594, 3547, 3350, 3048, 2857, 2798, 2637, 2552, 2514, 2572,
       2827},
      {107608, 108632, 109773, 110929, 112075, 113270, 115094, 116219, 117388, 118734, 120445,
       121950, 123366, 125368, 127852, 130081},
      {1947, 1948, 1949, 1950, 1951, 1952, 1953, 1954, 1955, 1956, 1957, 1958, 1959, 1960, 1961,
       1962}};
  const std::vector<double> y{60323, 61122, 60171, 61187, 63221, 63639, 64989, 63761,
                              66019, 67857, 68169, 66513, 68655, 69564, 69331, 70551};
  const auto fit = fit_robust(y, x, {.loss = Loss::squares});
  REQUIRE(fit.ok());
  CHECK(fewest_digits(fit->coefficients,
                      {-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683,
                       -1.03322686717359, -0.0511041056535807, 1829.15146461355}) >= 9.0);
  CHECK(fewest_digits(fit->standard_errors,
                      {890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699,
                       0.214274163161675, 0.226073200069370, 455.478499142212}) >= 9.0);
  CHECK(digits(fit->scale, 304.854073561965) >= 9.0);
}

// NIST Statistical Reference Datasets, linear regression, average difficulty: from memory. Both are
// small enough to be worked out by hand, x'y / x'x, and are.
TEST_CASE("least squares through the origin reproduces the certified values of NoInt1 and NoInt2") {
  const std::vector<std::vector<double>> x{{60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70}};
  const std::vector<double> y{130, 131, 132, 133, 134, 135, 136, 137, 138, 139, 140};
  const auto first = fit_robust(y, x, {.loss = Loss::squares, .intercept = false});
  REQUIRE(first.ok());
  CHECK(fewest_digits(first->coefficients, {2.07438016528926}) >= 14.0);
  CHECK(fewest_digits(first->standard_errors, {0.0165289256198347}) >= 13.0);
  CHECK(digits(first->scale, 3.56753034006338) >= 13.0);

  const auto second =
      fit_robust(std::vector<double>{3, 4, 4}, std::vector<std::vector<double>>{{4, 5, 6}},
                 {.loss = Loss::squares, .intercept = false});
  REQUIRE(second.ok());
  CHECK(fewest_digits(second->coefficients, {0.727272727272727}) >= 14.0);
  CHECK(fewest_digits(second->standard_errors, {0.0420827318078432}) >= 13.0);
  CHECK(digits(second->scale, 0.369274472937998) >= 13.0);
}

// Computed from Brownlee's data; nine digits are printed.
TEST_CASE("least squares fits the stack losses") {
  const RobustFit fit = fit_stack(Loss::squares);
  CHECK(fewest_digits(fit.coefficients, {-39.91967442, 0.7156402, 1.29528612, -0.15212252}) >= 7.0);
  CHECK(digits(fit.scale, 3.243364) >= 6.0);
}

// Robust linear models example of the statsmodels documentation, Huber's T with the default
// covariance. The coefficients are read from it, the standard errors are from memory.
TEST_CASE("the Huber fit of the stack losses is the published one") {
  const RobustFit fit = fit_stack(Loss::huber);
  CHECK(fewest_digits(fit.coefficients, {-41.02649835, 0.82938433, 0.92606597, -0.12784672}) >=
        7.0);
  CHECK(fewest_digits(fit.standard_errors, {9.79189854, 0.11100521, 0.30293016, 0.12864961}) >=
        7.0);
  CHECK(digits(fit.scale, 2.440536) >= 6.0);
}

// Computed with an independent iteration on the same data.
TEST_CASE("the bisquare fit of the stack losses agrees to six digits") {
  const RobustFit fit = fit_stack(Loss::bisquare);
  CHECK(std::abs(fit.coefficients[0] - -42.28535) <= 0.5e-5);
  CHECK(std::abs(fit.coefficients[1] - 0.927557) <= 0.5e-6);
  CHECK(std::abs(fit.coefficients[2] - 0.650718) <= 0.5e-6);
  CHECK(std::abs(fit.coefficients[3] - -0.112333) <= 0.5e-6);
  CHECK(std::abs(fit.scale - 2.281881) <= 0.5e-6);
}
