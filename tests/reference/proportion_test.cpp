// SPDX-License-Identifier: Apache-2.0
// Student's t, the beta distribution and intervals for a share against R and tables.
#include "numeric/proportion.hpp"

#include "numeric/distributions.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;

namespace {

bool agrees(double computed, double printed, double half_unit) {
  CAPTURE(computed);
  CAPTURE(printed);
  return std::abs(computed - printed) <= half_unit * 1.0001;
}

bool same(double computed, double expected) {
  CAPTURE(computed);
  CAPTURE(expected);
  return std::abs(computed / expected - 1.0) <= 1e-12;
}

struct Counted {
  double events;
  double trials;
  ShareInterval exact;
  ShareInterval score;
};

} // namespace

// R 4.2.2: qt, pt.
TEST_CASE("Student's t agrees with R to twelve digits") {
  CHECK(same(student_t_quantile(0.975, 4), 2.77644510519779));
  CHECK(same(student_t_quantile(0.995, 2.5), 7.1637281389488));
  CHECK(same(student_t_quantile(1e-10, 3), -2225.76928468309));
  CHECK(same(student_t_quantile(0.05, 0.5), -41.1360000928799));
  CHECK(same(student_t_quantile(0.6, 1e5), 0.25334777715718));
  CHECK(same(student_t_cdf(-2, 1e6), 0.0227502669256596));
  CHECK(same(student_t_cdf(1.5, 7), 0.911350756505015));
  CHECK(same(student_t_cdf(-40, 12), 1.92561479038602e-14));
  CHECK(same(student_t_cdf(-0.001, 300), 0.499601390099057));
}

// R 4.2.2: pbeta, qbeta.
TEST_CASE("the beta distribution agrees with R to twelve digits") {
  CHECK(same(beta_cdf(0.3, 2, 5), 0.579825));
  CHECK(same(beta_cdf(0.02, 0.5, 400), 0.999941545801644));
  CHECK(same(beta_cdf(0.501, 5e4, 5e4), 0.736455061702958));
  CHECK(same(beta_cdf(1e-5, 0.01, 3), 0.90466408561167));
  CHECK(same(beta_cdf(0.999, 200, 0.5), 0.527244107025235));
  CHECK(same(beta_quantile(0.025, 19, 2), 0.751267237227972));
  CHECK(same(beta_quantile(0.025, 3, 1e6), 6.18671312847159e-07));
  CHECK(same(beta_quantile(0.5, 0.1, 0.2), 0.0416524955555963));
}

// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2 (critical values), from memory.
TEST_CASE("quantiles of Student's t match the printed table") {
  CHECK(agrees(student_t_quantile(0.975, 1), 12.706, 0.5e-3));
  CHECK(agrees(student_t_quantile(0.975, 10), 2.228, 0.5e-3));
  CHECK(agrees(student_t_quantile(0.95, 30), 1.697, 0.5e-3));
  CHECK(agrees(student_t_quantile(0.99, 100), 2.364, 0.5e-3));
}

// t √(1 + 1/n): where the next value falls with 95 %; computed independently.
TEST_CASE("factors of a prediction interval match to four decimals") {
  struct Factor {
    double n;
    double value;
  };
  for (const Factor& row : {Factor{5, 3.0414}, Factor{10, 2.3726}, Factor{20, 2.1447},
                            Factor{30, 2.0790}, Factor{100, 1.9941}})
    CHECK(agrees(student_t_quantile(0.975, row.n - 1) * std::sqrt(1.0 + 1.0 / row.n), row.value,
                 0.5e-4));
}

// Computed independently from the definitions of Clopper & Pearson and of Wilson.
TEST_CASE("intervals for a share match to four decimals") {
  for (const Counted& row : {Counted{19, 20, {0.7513, 0.9987}, {0.7639, 0.9911}},
                             Counted{48, 50, {0.8629, 0.9951}, {0.8654, 0.9890}},
                             Counted{95, 100, {0.8872, 0.9836}, {0.8882, 0.9785}},
                             Counted{190, 200, {0.9100, 0.9758}, {0.9104, 0.9726}}}) {
    CAPTURE(row.trials);
    const ShareInterval exact = clopper_pearson_interval(row.events, row.trials, 0.95);
    const ShareInterval score = wilson_interval(row.events, row.trials, 0.95);
    CHECK(agrees(exact.low, row.exact.low, 0.5e-4));
    CHECK(agrees(exact.high, row.exact.high, 0.5e-4));
    CHECK(agrees(score.low, row.score.low, 0.5e-4));
    CHECK(agrees(score.high, row.score.high, 0.5e-4));
  }
}

TEST_CASE("no event in n trials leaves the known upper limits") {
  CHECK(agrees(clopper_pearson_interval(0, 20, 0.9).high, 0.139, 0.5e-3));
  CHECK(agrees(clopper_pearson_interval(0, 29, 0.9).high, 0.098, 0.5e-3));
  CHECK(agrees(clopper_pearson_interval(0, 59, 0.9).high, 0.0495, 0.5e-4));
  CHECK(agrees(clopper_pearson_interval(0, 100, 0.9).high, 0.0295, 0.5e-4));
  CHECK(agrees(clopper_pearson_interval(0, 299, 0.9).high, 0.0100, 0.5e-4));
}
