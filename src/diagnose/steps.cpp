// SPDX-License-Identifier: Apache-2.0
// A sensor follows the coolant within some 15 s (published response time): in two seconds it can
// show an eighth of what the coolant did, and no coolant does thirty kelvins in two seconds and
// stays there.
#include "diagnose/steps.hpp"

#include "condition/row_window.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace coolband {

namespace {

constexpr double k_longest_s = 2.0;
constexpr double k_least_step_k = 4.0;
/// A hole near a step leaves open what happened in it, s.
constexpr double k_longest_hole_s = 3.0;
constexpr float k_lowest_c = -39.5F; // below: the code of an open circuit

class Finder {
 public:
  Finder(const Recording& recording, const Trip& trip)
      : recording_(recording), time_s_(recording.time_s),
        coolant_c_(recording.column(Role::coolant)), trip_(trip) {}

  Steps find() const {
    Steps steps;
    RowWindow rows(recording_, std::array{Role::coolant});
    double before_s = -std::numeric_limits<double>::infinity();
    double before_c = std::nan("");
    for (std::size_t i = trip_.first_row; i <= trip_.last_row; ++i) {
      rows.move_to(i);
      const double time_s = rows.time_s(i);
      const double coolant_c = believed(rows.value(Role::coolant, i));
      if (time_s - before_s <= k_longest_s) {
        steps.seen = true;
        const double step_k = std::abs(coolant_c - before_c);
        if (step_k >= k_least_step_k && moves_level(i)) ++steps.count; // false for NaN
      }
      before_s = time_s;
      before_c = coolant_c;
    }
    return steps;
  }

 private:
  [[nodiscard]] static double believed(float coolant_c) {
    return coolant_c > k_lowest_c ? static_cast<double>(coolant_c) : std::nan("");
  }
  [[nodiscard]] double reading(std::size_t i) const { return believed(coolant_c_[i]); }

  [[nodiscard]] bool moves_level(std::size_t i) const {
    const auto before = level(i - 1, -1);
    const auto after = level(i, 1);
    return before && after && std::abs(*after - *before) >= k_least_step_k;
  }

  /// From `from` on, in the direction of `sign`; none where the log is broken there.
  [[nodiscard]] std::optional<double> level(std::size_t from, int sign) const {
    std::vector<double> readings;
    std::size_t i = from;
    while (std::abs(time_s_[i] - time_s_[from]) <= k_step_level_s) {
      if (std::isnan(reading(i))) return std::nullopt;
      readings.push_back(reading(i));
      if (i == (sign > 0 ? trip_.last_row : trip_.first_row)) return std::nullopt;
      const std::size_t next = sign > 0 ? i + 1 : i - 1;
      if (std::abs(time_s_[next] - time_s_[i]) > k_longest_hole_s) return std::nullopt;
      i = next;
    }
    return median(readings);
  }

  const Recording& recording_;
  const TimeColumn& time_s_;
  const Column& coolant_c_;
  const Trip& trip_;
};

} // namespace

Steps find_steps(const Recording& recording, const Trip& trip) {
  if (!recording.has(Role::coolant)) return {};
  return Finder(recording, trip).find();
}

} // namespace coolband
