// SPDX-License-Identifier: Apache-2.0
// Distributions and tolerance factors against published and independently computed figures.
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

struct Factors {
  double n;
  double exact_95_95;
  double howe_95_95;
  double exact_90_95;
  double exact_99_95;
  double exact_95_99;
};

} // namespace

// Exact factors after the integral in ISO 16269-6:2014, computed independently (adaptive
// quadrature). The widely printed 3.379 at n = 10 is the older Wald-Wolfowitz approximation.
TEST_CASE("exact and Howe's tolerance factors match to four decimals") {
  for (const Factors& row : {Factors{5, 5.0769, 5.0935, 4.2906, 6.5980, 7.8697},
                             Factors{10, 3.3934, 3.3819, 2.8563, 4.4369, 4.2942},
                             Factors{20, 2.7603, 2.7523, 2.3188, 3.6210, 3.1838},
                             Factors{30, 2.5549, 2.5496, 2.1451, 3.3546, 2.8509},
                             Factors{50, 2.3816, 2.3788, 1.9990, 3.1288, 2.5804},
                             Factors{100, 2.2339, 2.2328, 1.8748, 2.9355, 2.3572},
                             Factors{500, 2.0702, 2.0701, 1.7374, 2.7207, 2.1174}}) {
    CAPTURE(row.n);
    CHECK(agrees(tolerance_factor(row.n, row.n - 1, 0.95, 0.95), row.exact_95_95, 0.5e-4));
    CHECK(agrees(tolerance_factor_howe(row.n, row.n - 1, 0.95, 0.95), row.howe_95_95, 0.5e-4));
    CHECK(agrees(tolerance_factor(row.n, row.n - 1, 0.90, 0.95), row.exact_90_95, 0.5e-4));
    CHECK(agrees(tolerance_factor(row.n, row.n - 1, 0.99, 0.95), row.exact_99_95, 0.5e-4));
    CHECK(agrees(tolerance_factor(row.n, row.n - 1, 0.95, 0.99), row.exact_95_99, 0.5e-4));
  }
}

// NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3: 43 wafers.
TEST_CASE("the handbook's example of a tolerance interval comes out") {
  CHECK(agrees(tolerance_factor_howe(43, 42, 0.90, 0.99), 2.2173, 0.5e-4));
  CHECK(agrees(chi_squared_quantile(0.01, 42), 23.650, 0.5e-3));
}

// NIST/SEMATECH e-Handbook, 1.3.6.7.1 and 1.3.6.7.4 (critical values), from memory.
TEST_CASE("quantiles match the printed tables") {
  CHECK(agrees(normal_quantile(0.95), 1.644853627, 0.5e-9));
  CHECK(agrees(normal_quantile(0.975), 1.959963985, 0.5e-9));
  CHECK(agrees(normal_quantile(0.995), 2.575829304, 0.5e-9));
  CHECK(agrees(chi_squared_quantile(0.95, 1), 3.841, 0.5e-3));
  CHECK(agrees(chi_squared_quantile(0.95, 10), 18.307, 0.5e-3));
  CHECK(agrees(chi_squared_quantile(0.05, 9), 3.325, 0.5e-3));
  CHECK(agrees(chi_squared_quantile(0.99, 100), 135.807, 0.5e-3));
  CHECK(agrees(chi_squared_quantile(0.01, 30), 14.953, 0.5e-3));
}
