// SPDX-License-Identifier: Apache-2.0
// Median, two limits, three minutes.
#include "accuracy/fixed_rule.hpp"

#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cmath>

namespace coolband::accuracy {
namespace {

constexpr double k_warm_after_s = 600.0;
constexpr double k_below_k = 11.0;
constexpr double k_above_k = 12.0;
constexpr double k_together_s = 180.0;

/// Whether readings lay beyond a limit without a break for long enough.
class Watch {
 public:
  void see(double time_s, bool beyond) {
    if (!beyond) {
      since_s_ = NAN;
      return;
    }
    if (std::isnan(since_s_)) since_s_ = time_s;
    alarmed_ = alarmed_ || time_s - since_s_ >= k_together_s;
  }
  [[nodiscard]] bool alarmed() const { return alarmed_; }

 private:
  double since_s_ = NAN;
  bool alarmed_ = false;
};

} // namespace

Readings readings_of(const Recording& recording) {
  Readings readings;
  readings.time_s.assign(recording.time_s.begin(), recording.time_s.end());
  for (const float value : recording.column(Role::coolant))
    readings.coolant_c.push_back(static_cast<double>(value));
  return readings;
}

std::optional<double> normal_median_c(const std::vector<Readings>& drives) {
  std::vector<double> warm;
  for (const Readings& drive : drives) {
    for (std::size_t i = 0; i < drive.time_s.size(); ++i) {
      const bool late = drive.time_s[i] - drive.time_s.front() >= k_warm_after_s;
      if (late && !std::isnan(drive.coolant_c[i])) warm.push_back(drive.coolant_c[i]);
    }
  }
  if (warm.empty()) return std::nullopt;
  return median(warm);
}

double sustained_above_k(const Readings& drive, double median_c) {
  double highest_k = 0.0;
  std::size_t first = 0;
  for (std::size_t i = 0; i < drive.time_s.size(); ++i) {
    while (drive.time_s[i] - drive.time_s[first] > k_together_s) ++first;
    const bool whole = drive.time_s[i] - drive.time_s.front() >= k_warm_after_s + k_together_s;
    if (!whole) continue;
    double lowest_c = 1e9;
    for (std::size_t j = first; j <= i; ++j)
      if (!std::isnan(drive.coolant_c[j])) lowest_c = std::min(lowest_c, drive.coolant_c[j]);
    if (lowest_c < 1e9) highest_k = std::max(highest_k, lowest_c - median_c);
  }
  return highest_k;
}

Condition judge_by_rule(const Readings& drive, double median_c) {
  Watch cold;
  Watch hot;
  for (std::size_t i = 0; i < drive.time_s.size(); ++i) {
    if (drive.time_s[i] - drive.time_s.front() < k_warm_after_s) continue;
    if (std::isnan(drive.coolant_c[i])) continue;
    cold.see(drive.time_s[i], drive.coolant_c[i] <= median_c - k_below_k);
    hot.see(drive.time_s[i], drive.coolant_c[i] >= median_c + k_above_k);
  }
  if (cold.alarmed() && hot.alarmed()) return Condition::thermostat_sticking;
  if (cold.alarmed()) return Condition::thermostat_stuck_open;
  return hot.alarmed() ? Condition::thermostat_stuck_closed : Condition::normal;
}

} // namespace coolband::accuracy
