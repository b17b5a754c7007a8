// SPDX-License-Identifier: Apache-2.0
// CUSUM charts: their sums, where a run began, going on after a break, and scores without known
// parameters.
#include "numeric/control_chart.hpp"

#include "numeric/distributions.hpp"
#include "numeric/splitmix.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>
#include <vector>

using namespace coolband;

namespace {

double normal_draw(SplitMix& random) { return normal_quantile(random.share() + 0.5 * 0x1.0p-53); }

std::vector<double> normal_draws(std::size_t count, SplitMix& random) {
  std::vector<double> values(count);
  for (double& value : values) value = normal_draw(random);
  return values;
}

// The number of scored values up to and with the alarm of one in-control run, in calls of fifty.
double self_starting_run(const CusumDesign& design, SplitMix& random) {
  CusumState state = CusumState::start(design);
  RunningMoments moments;
  for (std::size_t before = 0;; before += 50) {
    std::vector<double> values = normal_draws(50, random);
    for (double& value : values) value = 90.0 + 1.3 * value;
    const auto report = self_starting_cusum(values, design, state, moments);
    if (report.chart.alarm)
      return static_cast<double>(before + report.chart.alarm->index + 1) - 2.0; // two unscored
    state = report.chart.state;
    moments = report.moments;
  }
}

constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();

} // namespace

TEST_CASE("the sums of a CUSUM rise by what a value exceeds k, and the run is dated") {
  const std::vector<double> scores{0.2, -3.0, 1.5, 0.4, 2.0, 2.5, -9.0};
  const CusumReport report = cusum(scores, {0.5, 3.0});
  const std::vector<double> high{0.0, 0.0, 1.0, 0.9, 2.4, 4.4, 0.0};
  const std::vector<double> low{0.0, 2.5, 0.5, 0.0, 0.0, 0.0, 8.5};
  for (std::size_t i = 0; i < scores.size(); ++i) {
    CAPTURE(i);
    CHECK(report.points[i].score == scores[i]);
    CHECK(report.points[i].high == doctest::Approx(high[i]).epsilon(1e-12));
    CHECK(report.points[i].low == doctest::Approx(low[i]).epsilon(1e-12));
  }
  REQUIRE(report.alarm);
  CHECK(report.alarm->index == 5);
  CHECK(report.alarm->began == 2);
  CHECK(report.alarm->upward);
  CHECK(report.without_score == 0);
}

TEST_CASE("a fall is found as well as a rise") {
  const CusumReport report = cusum(std::vector<double>{1.0, -2.0, -2.0, -2.0}, {0.5, 4.0});
  REQUIRE(report.alarm);
  CHECK(report.alarm->index == 3);
  CHECK(report.alarm->began == 1);
  CHECK(!report.alarm->upward);
}

TEST_CASE("a head start brings the alarm sooner and dates the run from the first value") {
  const std::vector<double> scores{1.5, 1.5, 1.5};
  CHECK(!cusum(scores, {0.5, 4.0}).alarm);
  const CusumReport early = cusum(scores, {0.5, 4.0, 2.0});
  REQUIRE(early.alarm);
  CHECK(early.alarm->index == 2);
  CHECK(early.alarm->began == 0);
}

TEST_CASE("a value that is not a number moves no sum and is counted") {
  const CusumReport report = cusum(std::vector<double>{2.0, k_nan, INFINITY, 2.0}, {0.5, 2.5});
  CHECK(report.without_score == 2);
  CHECK(report.points[2].high == 1.5);
  CHECK(std::isnan(report.points[2].score));
  REQUIRE(report.alarm);
  CHECK(report.alarm->index == 3);
  CHECK(report.alarm->began == 0);
}

TEST_CASE("a chart that is kept and goes on is the chart of all values at once") {
  SplitMix random(3);
  std::vector<double> values = normal_draws(40, random);
  for (std::size_t i = 25; i < 40; ++i) values[i] += 2.5;
  const CusumDesign design{0.5, 4.0, 2.0};
  const auto whole = self_starting_cusum(values, design);
  REQUIRE(whole.chart.alarm);
  REQUIRE(whole.chart.alarm->index > 26);
  for (const std::size_t cut : {1UL, 2UL, 10UL, 26UL}) {
    CAPTURE(cut);
    const std::span<const double> all(values);
    const auto first = self_starting_cusum(all.first(cut), design);
    const auto second =
        self_starting_cusum(all.subspan(cut), design, first.chart.state, first.moments);
    CHECK(second.chart.points.back().high == whole.chart.points.back().high);
    CHECK(second.chart.points.back().low == whole.chart.points.back().low);
    CHECK(second.moments.m2 == whole.moments.m2);
    REQUIRE(second.chart.alarm);
    CHECK(second.chart.alarm->index + cut == whole.chart.alarm->index);
    CHECK(second.chart.alarm->began + static_cast<std::ptrdiff_t>(cut) == whole.chart.alarm->began);
  }
}

TEST_CASE("a self-starting score is the t statistic against all values before, as a normal one") {
  const std::vector<double> values{88.2, 90.1, 89.4, 91.7, 87.9, 90.0};
  const auto report = self_starting_cusum(values, {});
  CHECK(std::isnan(report.chart.points[0].score));
  CHECK(std::isnan(report.chart.points[1].score));
  CHECK(report.chart.without_score == 2);
  for (std::size_t i = 2; i < values.size(); ++i) {
    const auto n = static_cast<double>(i);
    const auto upto = values.begin() + static_cast<std::ptrdiff_t>(i);
    const double mean = std::accumulate(values.begin(), upto, 0.0) / n;
    double squares = 0.0;
    for (auto at = values.begin(); at != upto; ++at) squares += (*at - mean) * (*at - mean);
    const double t = (values[i] - mean) / std::sqrt(squares / (n - 1.0) * (1.0 + 1.0 / n));
    CHECK(student_t_cdf(t, n - 1.0) ==
          doctest::Approx(normal_cdf(report.chart.points[i].score)).epsilon(1e-10));
  }
  CHECK(report.moments.count == 6.0);
  CHECK(report.moments.mean == doctest::Approx(537.3 / 6.0));
}

TEST_CASE("given moments stand for the values they were made of") {
  RunningMoments moments;
  for (const double value : {88.2, 90.1, 89.4}) moments.add(value);
  const std::vector<double> rest{91.7, 87.9};
  const auto report = self_starting_cusum(rest, {}, CusumState::start({}), moments);
  const auto whole = self_starting_cusum(std::vector<double>{88.2, 90.1, 89.4, 91.7, 87.9}, {});
  CHECK(report.chart.without_score == 0);
  CHECK(report.chart.points[0].score == whole.chart.points[3].score);
  CHECK(report.chart.points[1].score == whole.chart.points[4].score);
}

TEST_CASE("equal values give no score until one differs, or a least spread is given") {
  const std::vector<double> values{90.0, 90.0, 90.0, 91.0, 90.0};
  const auto report = self_starting_cusum(values, {});
  CHECK(report.chart.without_score == 4);
  CHECK(std::isfinite(report.chart.points[4].score));
  const auto floored =
      self_starting_cusum(values, {}, CusumState::start({}), {}, 1.0 / std::sqrt(12.0));
  CHECK(floored.chart.without_score == 2);
  CHECK(std::abs(floored.chart.points[2].score) <= 1e-12);
  CHECK(floored.chart.points[3].score > 1.0);
}

TEST_CASE("a value far beyond all before has a large score, not an endless one") {
  std::vector<double> values(200);
  for (std::size_t i = 0; i < 200; ++i) values[i] = i % 2 == 0 ? 1.0 : -1.0;
  values.push_back(1e6);
  const auto report = self_starting_cusum(values, {});
  CHECK(report.chart.points.back().score > 30.0);
  CHECK(std::isfinite(report.chart.points.back().score));
}

TEST_CASE("a lasting shift is found soon and dated") {
  SplitMix random(11);
  std::vector<double> values = normal_draws(40, random);
  for (std::size_t i = 20; i < 40; ++i) values[i] -= 2.5;
  const auto report = self_starting_cusum(values, {0.5, 4.774});
  REQUIRE(report.chart.alarm);
  CHECK(!report.chart.alarm->upward);
  CHECK(report.chart.alarm->index >= 20);
  CHECK(report.chart.alarm->index <= 24);
  CHECK(std::abs(static_cast<double>(report.chart.alarm->began) - 20.0) <= 3.0);
}

// The scores are independent standard normals in control, so the run length is that of the chart
// with known parameters. Two thousand runs: the tolerance is three standard errors of their mean.
TEST_CASE("the self-starting chart runs as long in control as the nominal chart") {
  const CusumDesign design{0.5, 3.0};
  SplitMix random(2026);
  double sum = 0.0;
  double squares = 0.0;
  constexpr int runs = 2000;
  for (int i = 0; i < runs; ++i) {
    const double length = self_starting_run(design, random);
    sum += length;
    squares += length * length;
  }
  const double mean = sum / runs;
  const double standard_error = std::sqrt((squares / runs - mean * mean) / runs);
  const double nominal = cusum_average_run_length(0.0, design);
  CAPTURE(mean);
  CAPTURE(nominal);
  CHECK(standard_error < 0.03 * nominal);
  CHECK(std::abs(mean - nominal) <= 3.0 * standard_error);
}

TEST_CASE("charts without scatter to find are refused by name") {
  CHECK(CusumDesign{}.validate().empty());
  CHECK(CusumDesign{-0.1, 5.0}.validate() == "k = -0.1: must be 0 or a positive number");
  CHECK(CusumDesign{0.5, 0.0}.validate() == "h = 0: must be a positive number");
  CHECK(CusumDesign{0.5, 4.0, 5.0}.validate() == "head_start = 5: must be between 0 and h");
}

TEST_CASE("run lengths have sane ends and refuse what makes no sense") {
  CHECK(cusum_average_run_length(60.0, {0.5, 4.0}) == doctest::Approx(1.0));
  CHECK(one_sided_cusum_run_length(-3.0, {0.5, 5.0}) == std::numeric_limits<double>::infinity());
  CHECK(cusum_average_run_length(-1.0, {0.5, 4.0, 2.0}) ==
        doctest::Approx(cusum_average_run_length(1.0, {0.5, 4.0, 2.0})).epsilon(1e-12));
  CHECK(std::isinf(cusum_average_run_length(0.0, {1.0, 40.0})));
  CHECK(std::isnan(cusum_average_run_length(0.0, {0.5, 51.0})));
  CHECK(std::isnan(cusum_average_run_length(k_nan, {0.5, 4.0})));
  CHECK(std::isnan(cusum_average_run_length(0.0, {-1.0, 4.0})));
  CHECK(std::isnan(cusum_limit(1.0, 0.5)));
  CHECK(std::isnan(cusum_limit(370.0, -1.0)));
  CHECK(std::isnan(ewma_average_run_length(0.0, 0.0, 3.0)));
  CHECK(std::isnan(ewma_average_run_length(0.0, 0.2, -3.0)));
  CHECK(std::isinf(ewma_average_run_length(0.0, 0.2, 9.0)));
}

TEST_CASE("the limit of a CUSUM undoes its run length, where there is one") {
  for (const double k : {0.25, 0.5, 1.5})
    for (const double length : {20.0, 370.0, 1e5}) {
      CAPTURE(k);
      CAPTURE(length);
      const double h = cusum_limit(length, k);
      CHECK(cusum_average_run_length(0.0, {k, h}) == doctest::Approx(length).epsilon(1e-7));
    }
  CHECK(std::isnan(cusum_limit(3.0, 1.5))); // 1 / (2 Φ(-1.5)) = 7.5 even at h = 0
  CHECK(std::isnan(cusum_limit(1e8, 0.0))); // beyond the largest h
}
