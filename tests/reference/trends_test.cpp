// SPDX-License-Identifier: Apache-2.0
// What trends rest on, against statsmodels 0.13.5 and scipy 1.10.1
// (tests/reference/python/trends.py) and published examples.
#include "numeric/false_discovery.hpp"
#include "numeric/recursive_residuals.hpp"
#include "numeric/scale_qn.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

using namespace coolband;

namespace {

// The fifteen p-values of Benjamini & Hochberg, J. R. Statist. Soc. B 57 (1995) 289-300,
// section 4.1 (from memory).
const std::vector<double> k_example{0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
                                    0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0};

void agree(const std::vector<double>& computed, const std::vector<double>& expected,
           double within) {
  REQUIRE(computed.size() == expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    CAPTURE(i);
    CHECK(computed[i] == doctest::Approx(expected[i]).epsilon(within));
  }
}

} // namespace

TEST_CASE("the published example has four discoveries at 5 percent, where Bonferroni has three") {
  const auto adjusted = adjusted_p_values(k_example, Dependence::positive);
  CHECK(std::count_if(adjusted.begin(), adjusted.end(), [](double p) { return p <= 0.05; }) == 4);
  CHECK(std::count_if(k_example.begin(), k_example.end(),
                      [](double p) { return p * 15 <= 0.05; }) == 3);
}

// statsmodels multipletests, fdr_bh and fdr_by
TEST_CASE("adjusted p-values are those of statsmodels") {
  agree(adjusted_p_values(k_example, Dependence::positive),
        {0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.06385714286, 0.06385714286, 0.0645, 0.0765,
         0.486, 0.5811818182, 0.714875, 0.7532307692, 0.8132142857, 1.0},
        1e-9);
  agree(adjusted_p_values(k_example, Dependence::arbitrary),
        {0.00497734349, 0.00995468698, 0.03152317544, 0.1182119079, 0.2000892083, 0.2118926229,
         0.2118926229, 0.2140257701, 0.253844518, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0},
        1e-9);
}

// statsmodels qn_scale, times the corrections for small n of Croux & Rousseeuw, COMPSTAT 1992 (from
// memory): 0.844, 0.669, n/(n + 1.4)
TEST_CASE("Qn is that of statsmodels, corrected for small n") {
  const std::vector<double> values{79.1, 80.4, 78.8, 81.0, 79.9, 95.2,
                                   80.1, 79.5, 80.8, 78.2, 80.0};
  const auto first = [&](std::ptrdiff_t n) {
    return std::vector(values.begin(), values.begin() + n);
  };
  CHECK(qn_scale(first(5)) == doctest::Approx(1.331486679591 * 0.844).epsilon(1e-10));
  CHECK(qn_scale(first(8)) == doctest::Approx(1.775315572788 * 0.669).epsilon(1e-10));
  CHECK(qn_scale(values) == doctest::Approx(1.331486679591 * 11.0 / 12.4).epsilon(1e-10));
}

// statsmodels recursive_olsresiduals (scaled); a slope of which nothing is known beforehand
TEST_CASE("recursive residuals are those of statsmodels") {
  const std::vector<double> y{79.2, 80.1, 79.6, 81.4, 80.3, 82.2,
                              79.9, 83.0, 81.1, 80.7, 84.1, 82.5};
  const std::vector<double> x{0.1, 0.4, -0.3, 0.8, 0.2, 1.1, -0.6, 1.5, 0.7, 0.0, 1.9, 1.2};
  const std::array<double, 1> unknown{1e3};
  RecursiveResiduals regression(unknown);
  std::vector<double> residuals;
  for (std::size_t i = 0; i < y.size(); ++i) {
    const std::array<double, 1> condition{x[i]};
    residuals.push_back(regression.residual(y[i], condition, 1.0));
  }
  residuals.erase(residuals.begin(), residuals.begin() + 2);
  agree(residuals,
        {0.5579886660, 0.6993091334, 0.2782207678, 0.3979261882, 1.0470671964, 0.5557942984,
         -0.1177248097, 0.6326255961, 0.6772346297, 0.1911599824},
        1e-4);
}
