// SPDX-License-Identifier: Apache-2.0
// Run lengths of control charts against published tables and independently computed figures.
#include "numeric/control_chart.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

using namespace coolband;

namespace {

bool agrees(double computed, double printed, double half_unit) {
  CAPTURE(computed);
  CAPTURE(printed);
  return std::abs(computed - printed) <= half_unit * 1.0001;
}

// Half a unit of the last of four significant digits.
bool agrees_to_four(double computed, double printed) {
  return agrees(computed, printed, 0.5 * std::pow(10.0, std::floor(std::log10(printed)) - 3.0));
}

struct CusumRow {
  double shift;
  double h4;
  double h5;
  double h4_started;
  double h5_started;
};

double siegmund(double shift, double k, double h) {
  const double b = h + 1.166;
  const double drift = shift - k;
  if (drift == 0.0) return b * b;
  return (std::exp(-2.0 * drift * b) + 2.0 * drift * b - 1.0) / (2.0 * drift * drift);
}

double two_sided_siegmund(double shift, double k, double h) {
  return 1.0 / (1.0 / siegmund(shift, k, h) + 1.0 / siegmund(-shift, k, h));
}

} // namespace

// Computed independently from the integral equation (Goel & Wu, Technometrics 13 (1971) 221-230);
// to three figures the tables of Lucas & Crosier, Technometrics 24 (1982) 199-205, and Montgomery,
// Introduction to Statistical Quality Control (from memory).
TEST_CASE("run lengths of the two-sided CUSUM are the tabulated ones") {
  for (const CusumRow& row :
       {CusumRow{0.0, 167.7, 465.4, 148.7, 430.4}, CusumRow{0.25, 74.22, 139.5, 62.7, 121.7},
        CusumRow{0.5, 26.63, 38.00, 20.06, 28.67}, CusumRow{0.75, 13.29, 17.05, 8.97, 11.24},
        CusumRow{1.0, 8.383, 10.38, 5.287, 6.347}, CusumRow{1.5, 4.747, 5.747, 2.862, 3.372},
        CusumRow{2.0, 3.343, 4.009, 2.014, 2.362}, CusumRow{3.0, 2.194, 2.573, 1.325, 1.540},
        CusumRow{4.0, 1.708, 2.013, 1.067, 1.159}}) {
    CAPTURE(row.shift);
    CHECK(agrees_to_four(cusum_average_run_length(row.shift, {0.5, 4.0}), row.h4));
    CHECK(agrees_to_four(cusum_average_run_length(row.shift, {0.5, 5.0}), row.h5));
    const double unit = row.shift == 0.25 || row.shift == 0.75 ? 0.05 : 0.005;
    CHECK(agrees(cusum_average_run_length(row.shift, {0.5, 4.0, 2.0}), row.h4_started,
                 row.shift == 0.0 ? 0.05 : unit));
    CHECK(agrees(cusum_average_run_length(row.shift, {0.5, 5.0, 2.5}), row.h5_started,
                 row.shift == 0.0 ? 0.05 : unit));
  }
}

// Montgomery, Introduction to Statistical Quality Control, and Lucas & Crosier 1982: from memory.
TEST_CASE("run lengths of the CUSUM match the printed tables to three figures") {
  const std::array<double, 9> shifts{0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0};
  const std::array<double, 9> h4{168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.19, 1.71};
  const std::array<double, 9> h5{465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 2.57, 2.01};
  for (std::size_t i = 0; i < shifts.size(); ++i) {
    CAPTURE(shifts[i]);
    const double unit4 = h4[i] >= 100.0 ? 0.5 : h4[i] >= 10.0 ? 0.05 : 0.005;
    const double unit5 = h5[i] >= 100.0 ? 0.5 : h5[i] >= 10.0 ? 0.05 : 0.005;
    CHECK(agrees(cusum_average_run_length(shifts[i], {0.5, 4.0}), h4[i], unit4));
    CHECK(agrees(cusum_average_run_length(shifts[i], {0.5, 5.0}), h5[i], unit5));
  }
}

TEST_CASE("one upper sum alone runs twice as long without a shift") {
  CHECK(agrees(one_sided_cusum_run_length(0.0, {0.5, 4.0}), 335.4, 0.05));
  CHECK(agrees(one_sided_cusum_run_length(0.0, {0.5, 5.0}), 930.9, 0.05));
}

// Siegmund, Sequential Analysis, 1985 (from memory): an approximation, here within 1.5 %.
TEST_CASE("Siegmund's approximation comes close to the run lengths") {
  CHECK(agrees(two_sided_siegmund(0.0, 0.5, 4.0), 169.05, 0.005));
  CHECK(agrees(two_sided_siegmund(0.0, 0.5, 5.0), 469.11, 0.005));
  CHECK(agrees(two_sided_siegmund(1.0, 0.5, 4.0), 8.343, 0.0005));
  CHECK(agrees(two_sided_siegmund(1.0, 0.5, 5.0), 10.336, 0.0005));
  for (const double h : {4.0, 5.0})
    for (const double shift : {0.0, 0.5, 1.0})
      CHECK(cusum_average_run_length(shift, {0.5, h}) ==
            doctest::Approx(two_sided_siegmund(shift, 0.5, h)).epsilon(0.015));
}

// Computed independently; the values of Hawkins, J. Quality Technology 25 (1993), as quoted by
// Montgomery (from memory) are 8.01, 4.77, 3.34, 2.52, 1.99 and 1.61.
TEST_CASE("limits for a run length of 370 are the tabulated ones") {
  const std::array<double, 6> k{0.25, 0.5, 0.75, 1.0, 1.25, 1.5};
  const std::array<double, 6> h{8.008, 4.774, 3.339, 2.516, 1.986, 1.604};
  const std::array<double, 6> printed{8.01, 4.77, 3.34, 2.52, 1.99, 1.61};
  for (std::size_t i = 0; i < k.size(); ++i) {
    CAPTURE(k[i]);
    CHECK(agrees(cusum_limit(370.0, k[i]), h[i], 0.0005));
    CHECK(agrees(cusum_limit(370.0, k[i]), printed[i], 0.006)); // 1.61 was rounded upwards
  }
}

// Lucas & Saccucci, Technometrics 32 (1990) 1-12, asymptotic limits; computed independently.
TEST_CASE("run lengths of the EWMA are the tabulated ones") {
  struct EwmaRow {
    double lambda;
    double limit;
    std::array<double, 5> lengths; // at shifts 0, 0.5, 1, 2, 3
  };
  const std::array<double, 5> shifts{0.0, 0.5, 1.0, 2.0, 3.0};
  const std::array<double, 5> half_units{0.5, 0.05, 0.005, 0.005, 0.005};
  // At lambda 0.05 and shift 2 the tabulated 5.23 is 5.2249 by a Markov chain of 801 states (Brook
  // & Evans, Biometrika 59 (1972) 539-549) as well: 5.22.
  for (const EwmaRow& row : {EwmaRow{0.4, 3.054, {500, 71.2, 14.26, 3.52, 2.02}},
                             EwmaRow{0.25, 2.998, {500, 48.3, 11.14, 3.61, 2.26}},
                             EwmaRow{0.2, 2.962, {500, 41.8, 10.54, 3.74, 2.38}},
                             EwmaRow{0.1, 2.814, {500, 31.3, 10.33, 4.36, 2.87}},
                             EwmaRow{0.05, 2.615, {500, 28.8, 11.38, 5.22, 3.50}}}) {
    for (std::size_t i = 0; i < shifts.size(); ++i) {
      CAPTURE(row.lambda);
      CAPTURE(shifts[i]);
      CHECK(agrees(ewma_average_run_length(shifts[i], row.lambda, row.limit), row.lengths[i],
                   half_units[i]));
    }
  }
}

TEST_CASE("an EWMA without memory is the Shewhart chart") {
  CHECK(agrees(ewma_average_run_length(0.0, 1.0, 3.0), 370.40, 0.005));
  CHECK(agrees(ewma_average_run_length(1.0, 1.0, 3.0), 43.89, 0.005));
}

// Montgomery's example of a process whose mean rises after the 20th of 30 values (from memory; the
// sums can be followed by hand): 5.28 after the 29th value in the seventh of a run, which therefore
// began with the 23rd.
TEST_CASE("the textbook example of a CUSUM alarms and dates the shift as printed") {
  const std::vector<double> values{9.45,  7.99,  9.29,  11.66, 12.16, 10.18, 8.04,  11.46,
                                   9.20,  10.34, 9.03,  11.47, 10.51, 9.40,  10.08, 9.37,
                                   10.62, 10.31, 8.52,  10.84, 10.90, 9.33,  12.29, 11.50,
                                   10.60, 11.08, 10.38, 11.62, 11.31, 10.52};
  std::vector<double> scores = values;
  for (double& score : scores) score -= 10.0;
  const CusumReport report = cusum(scores, {0.5, 5.0});
  REQUIRE(report.alarm);
  CHECK(report.alarm->upward);
  CHECK(report.alarm->index == 28);
  CHECK(report.alarm->began == 22);
  CHECK(agrees(report.points[28].high, 5.28, 1e-9));
  CHECK(agrees(report.points[4].high, 2.82, 1e-9));
  CHECK(agrees(report.points[1].low, 1.56, 1e-9));
}
