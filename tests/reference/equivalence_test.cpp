// SPDX-License-Identifier: Apache-2.0
// Two one-sided tests against statsmodels' ttost_ind (unequal variances), and the chance of a
// missed fault against scipy's beta distribution by numerical integration. Their answers and
// versions lie in python/equivalence.txt, written by python/equivalence.py.
#include "numeric/equivalence.hpp"

#include "repair/missed_fault.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#ifndef COOLBAND_SOURCE_DIR
#define COOLBAND_SOURCE_DIR "."
#endif

using namespace coolband;

namespace {

std::vector<double> numbers(std::istringstream& words) {
  std::vector<double> values;
  for (double value = 0.0; words >> value;) values.push_back(value);
  return values;
}

/// The lines of the stored answers that begin with a word, as numbers.
std::vector<std::vector<double>> answers(const std::string& wanted) {
  std::ifstream file(std::string(COOLBAND_SOURCE_DIR) + "/tests/reference/python/equivalence.txt");
  std::vector<std::vector<double>> lines;
  for (std::string line; std::getline(file, line);) {
    std::istringstream words(line);
    std::string word;
    words >> word;
    if (word == wanted) lines.push_back(numbers(words));
  }
  return lines;
}

} // namespace

TEST_CASE("two one-sided tests agree with statsmodels") {
  const auto margins = answers("tost");
  const auto a = answers("a");
  const auto b = answers("b");
  const auto wanted = answers("answer");
  REQUIRE(margins.size() == 5);
  REQUIRE(wanted.size() == 5);
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    CAPTURE(i);
    const Equivalence test =
        two_one_sided_tests(mean_estimate(a[i]), mean_estimate(b[i]), margins[i].at(0), 0.05);
    CHECK(test.difference == doctest::Approx(wanted[i].at(0)).epsilon(1e-12));
    CHECK(test.p_above_low == doctest::Approx(wanted[i].at(1)).epsilon(1e-8));
    CHECK(test.p_below_high == doctest::Approx(wanted[i].at(2)).epsilon(1e-8));
    CHECK(test.freedom == doctest::Approx(wanted[i].at(3)).epsilon(1e-12));
    CHECK(test.low == doctest::Approx(wanted[i].at(4)).epsilon(1e-9));
    CHECK(test.high == doctest::Approx(wanted[i].at(5)).epsilon(1e-9));
    // Schuirmann: equivalent where the 1 - 2 alpha interval lies within the margin.
    const bool within = test.low > -margins[i].at(0) && test.high < margins[i].at(0);
    CHECK((test.p() < 0.05) == within);
  }
}

TEST_CASE("the chance of a missed fault agrees with an integral over scipy's beta distribution") {
  const auto wanted = answers("missed");
  REQUIRE(wanted.size() == 28);
  for (const auto& line : wanted) {
    const auto count = [&](std::size_t i) { return static_cast<std::size_t>(line.at(i)); };
    CAPTURE(line.at(0));
    CAPTURE(line.at(1));
    CAPTURE(line.at(2));
    CHECK(missed_chance({count(0), count(1), {}}, count(2)) ==
          doctest::Approx(line.at(3)).epsilon(1e-6));
  }
}

// Arithmetic of the geometric distribution, done by hand: 0.3^3, 0.5^5, 0.7^9.
TEST_CASE("with a share that is known, k clean drives leave p to the k") {
  CHECK(missed_chance({0, 0, 0.7}, 3) == doctest::Approx(0.027).epsilon(1e-12));
  CHECK(missed_chance({0, 0, 0.5}, 5) == doctest::Approx(0.03125).epsilon(1e-12));
  CHECK(missed_chance({0, 0, 0.3}, 9) == doctest::Approx(0.040353607).epsilon(1e-12));
  CHECK(clean_drives_needed({0, 0, 0.7}, 0.05) == 3);
  CHECK(clean_drives_needed({0, 0, 0.5}, 0.05) == 5);
  CHECK(clean_drives_needed({0, 0, 0.3}, 0.05) == 9);
}
