// SPDX-License-Identifier: Apache-2.0
// What a warm-up tells beside how long it took: its pace, where the thermostat first opened, and
// under which conditions.
#include "segment/warm_up_traits.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/repeated_median.hpp"
#include "segment/blocks.hpp"
#include "segment/blocks_within.hpp"
#include "segment/broken_stick.hpp"
#include "segment/heat_clock.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace coolband {

namespace {

/// The thermostat opens at the latest this long after the arrival, s: the lag of its wax and of the
/// sensor are seconds to half a minute, but a gentle arrival takes the last kelvins slowly.
constexpr double k_look_beyond_s = 900.0;

/// The middle of the rise, as shares of it, over which its pace is taken.
constexpr double k_middle_from = 0.15;
constexpr double k_middle_to = 0.85;
constexpr double k_least_rise_k = 10.0; ///< smaller warm-ups have no pace
constexpr double k_least_middle_s = 120.0;
constexpr std::size_t k_most_points = 60; ///< bounds the cost of the pairwise slopes

/// The bend. A rise of 6 to 10 K before it, and after it heat that would have brought 8 K more at
/// the same pace (well above the noise of 1 °C steps), of which a third at most came.
constexpr double k_most_before_k = 10.0;
constexpr double k_least_before_k = 6.0;
constexpr double k_expected_k = 8.0;
constexpr double k_most_left = 0.35;
/// A rise towards a ceiling (an engine whose thermostat hangs open) slows all the way. A rise that
/// a thermostat ends is straight until then: its last part is at least this fast against the part
/// before, in the window and before it.
constexpr double k_straight = 0.7;
constexpr double k_most_earlier_k = 20.0;
/// After the bend heat (road speed where no heat is known) may fall to this share, not further.
constexpr double k_heat_kept = 0.7;
constexpr std::size_t k_least_side = 4; ///< blocks on either side of a place that may be the bend
constexpr std::size_t k_least_leg = 3;  ///< and of the bend that is fitted then
constexpr double k_longest_after_s = 900.0;
/// No published thermostat begins to open lower, °C (71 °C: TB 43-PS-576, less the tolerance of 1 K
/// of a sensor).
constexpr double k_lowest_opening_c = 70.0;
/// An open thermostat holds the engine near where it opened, K: it must be shut again 5 K below
/// nominal (maker service texts, common practice), and nominal is true to 3 K (TM 5-3825-229-14&P);
/// above, 8 K is the narrowest published span to fully open (TM 5-3810-231-12).
constexpr double k_level_from_opening_k = 8.0;

/// Blocks of one warm-up.
struct Extent {
  std::size_t first = 0;
  std::size_t warmed = 0; ///< the first that no longer warms up
  std::size_t end = 0;    ///< of the unbroken running, bounded by `k_look_beyond_s`
  bool broken = false;    ///< before `warmed`
};

bool runs_with_reading(const Blocks& blocks, std::size_t i) {
  return blocks.phase[i] != Phase::off && !std::isnan(blocks.coolant[i]);
}

/// `limit`: where the next warm-up starts, or the trip ends.
Extent extent_of(const Trip& trip, std::size_t first, std::size_t limit) {
  const Blocks& blocks = trip.blocks;
  Extent extent{first, first, first, false};
  while (extent.warmed < limit && (blocks.phase[extent.warmed] == Phase::warm_up ||
                                   blocks.phase[extent.warmed] == Phase::off))
    ++extent.warmed;
  const double arrival_s = blocks.end_s[extent.warmed > first ? extent.warmed - 1 : first];
  double known_s = blocks.start_s[first];
  for (; extent.end < limit; ++extent.end) {
    const double now_s = blocks.start_s[extent.end];
    if (now_s - known_s > longest_hole_s(trip) || now_s - arrival_s > k_look_beyond_s) break;
    if (runs_with_reading(blocks, extent.end)) known_s = blocks.end_s[extent.end];
  }
  extent.broken = extent.end < extent.warmed;
  return extent;
}

// ---- pace ----

std::optional<double> rate_of(const HeatSeries& rise) {
  if (rise.size() < 2) return std::nullopt;
  const double from_c = rise.coolant_c.front();
  const double to_c = *std::max_element(rise.coolant_c.begin(), rise.coolant_c.end());
  if (to_c - from_c < k_least_rise_k) return std::nullopt;
  const auto first_above = [&](double share) {
    const double bound_c = from_c + share * (to_c - from_c);
    return static_cast<std::size_t>(std::find_if(rise.coolant_c.begin(), rise.coolant_c.end(),
                                                 [&](double value) { return value >= bound_c; }) -
                                    rise.coolant_c.begin());
  };
  const std::size_t from = first_above(k_middle_from);
  const std::size_t to = first_above(k_middle_to);
  const double middle_s = rise.time_s[to] - rise.time_s[from];
  if (middle_s < k_least_middle_s) return std::nullopt;
  std::vector<double> minutes;
  std::vector<double> coolant_c;
  const std::size_t stride = (to - from) / k_most_points + 1;
  for (std::size_t i = from; i <= to; i += stride) {
    minutes.push_back(rise.time_s[i] / 60.0);
    coolant_c.push_back(rise.coolant_c[i]);
  }
  const double rate = repeated_median_slope(minutes, coolant_c, 0.25 * middle_s / 60.0);
  if (std::isnan(rate)) return std::nullopt;
  return rate;
}

// ---- bend ----

class BendSearch {
 public:
  explicit BendSearch(const Blocks& blocks, const Extent& extent)
      : series_(heat_series(blocks, extent.first, extent.end)) {}

  /// The first place where all that marks an opening is seen.
  [[nodiscard]] std::optional<double> bend_c() const {
    for (std::size_t i = k_least_side; i + k_least_side < series_.size(); ++i) {
      const auto window = window_about(i);
      if (!window || !breaks_off(*window)) continue;
      const auto bend = bend_in(*window);
      if (bend && *bend >= k_lowest_opening_c) return bend;
    }
    return std::nullopt;
  }

 private:
  struct Window {
    std::size_t first = 0;
    std::size_t middle = 0;
    std::size_t last = 0;
    double slope = 0.0; ///< before the middle
  };

  [[nodiscard]] std::span<const double> clock(std::size_t first, std::size_t last) const {
    return std::span(series_.clock_min).subspan(first, last - first + 1);
  }
  [[nodiscard]] std::span<const double> coolant(std::size_t first, std::size_t last) const {
    return std::span(series_.coolant_c).subspan(first, last - first + 1);
  }
  [[nodiscard]] double slope(std::size_t first, std::size_t last) const {
    return line_slope(clock(first, last), coolant(first, last)).value_or(0.0);
  }

  /// A steady rise up to `middle`, and the stretch after it in which as much heat again was made.
  [[nodiscard]] std::optional<Window> window_about(std::size_t middle) const {
    Window window{middle, middle, middle, 0.0};
    const double at_c = series_.coolant_c[middle];
    while (window.first > 0 && at_c - series_.coolant_c[window.first] < k_most_before_k)
      --window.first;
    if (at_c - series_.coolant_c[window.first] < k_least_before_k) return std::nullopt;
    if (middle - window.first < k_least_side) return std::nullopt;
    window.slope = slope(window.first, middle);
    if (!(window.slope > 0.0) || !straight(window)) return std::nullopt;
    if (!as_fast_as_earlier(window)) return std::nullopt;
    const double until_min = series_.clock_min[middle] + k_expected_k / window.slope;
    while (window.last + 1 < series_.size() && series_.clock_min[window.last] < until_min)
      ++window.last;
    if (series_.clock_min[window.last] < until_min) return std::nullopt;
    if (series_.time_s[window.last] - series_.time_s[middle] > k_longest_after_s)
      return std::nullopt;
    if (window.last - middle < k_least_side) return std::nullopt;
    return window;
  }

  [[nodiscard]] bool straight(const Window& window) const {
    const double half_c =
        0.5 * (series_.coolant_c[window.first] + series_.coolant_c[window.middle]);
    std::size_t half = window.first;
    while (series_.coolant_c[half] < half_c) ++half;
    if (half == window.first || half == window.middle) return false;
    const double earlier = slope(window.first, half);
    return slope(half, window.middle) >= k_straight * earlier;
  }

  /// Against the rise before the window, where that is long enough to tell.
  [[nodiscard]] bool as_fast_as_earlier(const Window& window) const {
    std::size_t from = window.first;
    while (from > 0 && series_.coolant_c[window.first] - series_.coolant_c[from] < k_most_earlier_k)
      --from;
    if (series_.coolant_c[window.first] - series_.coolant_c[from] < k_least_before_k) return true;
    return window.slope >= k_straight * slope(from, window.first);
  }

  [[nodiscard]] double mean_heat(std::size_t first, std::size_t last) const {
    return (series_.clock_min[last] - series_.clock_min[first]) /
           (series_.time_s[last] - series_.time_s[first]);
  }

  [[nodiscard]] bool breaks_off(const Window& w) const {
    if (slope(w.middle, w.last) > k_most_left * w.slope) return false;
    if (series_.heat_known)
      return mean_heat(w.middle, w.last) >= k_heat_kept * mean_heat(w.first, w.middle);
    const double before = mean_speed(w.first, w.middle);
    const double after = mean_speed(w.middle, w.last);
    return std::isnan(before) || std::isnan(after) || after >= k_heat_kept * before;
  }

  [[nodiscard]] double mean_speed(std::size_t first, std::size_t last) const {
    double sum = 0.0;
    for (std::size_t i = first; i <= last; ++i) sum += series_.speed[i];
    return sum / static_cast<double>(last - first + 1);
  }

  [[nodiscard]] std::optional<double> bend_in(const Window& w) const {
    const auto stick =
        fit_broken_stick(clock(w.first, w.last), coolant(w.first, w.last), k_least_leg);
    if (!stick || stick->slope_after > k_most_left * stick->slope_before) return std::nullopt;
    return stick->y;
  }

  HeatSeries series_;
};

std::optional<double> opening_of(const Trip& trip, const Extent& extent) {
  if (!trip.level_c) return std::nullopt;
  const auto bend_c = BendSearch(trip.blocks, extent).bend_c();
  if (!bend_c) return std::nullopt;
  if (std::abs(*trip.level_c - *bend_c) > k_level_from_opening_k) return std::nullopt;
  return bend_c;
}

// ---- conditions ----

void measure_conditions(WarmUp& warm_up, const Blocks& blocks, const Extent& extent) {
  double load_s = 0.0;
  double known_s = 0.0;
  std::vector<double> ambient;
  for (std::size_t i = extent.first; i < extent.warmed; ++i) {
    if (blocks.phase[i] == Phase::off) continue;
    if (!std::isnan(blocks.ambient[i])) ambient.push_back(static_cast<double>(blocks.ambient[i]));
    if (std::isnan(blocks.load[i])) continue;
    const double block_s = std::max(blocks.end_s[i] - blocks.start_s[i], 1e-3);
    load_s += static_cast<double>(blocks.load[i]) * block_s;
    known_s += block_s;
  }
  if (known_s > 0.0) warm_up.load_mean_pct = load_s / known_s;
  if (!ambient.empty()) warm_up.ambient_c = median(std::move(ambient));
}

} // namespace

void measure_warm_ups(Trip& trip) {
  const Blocks& blocks = trip.blocks;
  for (std::size_t i = 0; i < trip.warm_ups.size(); ++i) {
    WarmUp& warm_up = trip.warm_ups[i];
    const bool last = i + 1 == trip.warm_ups.size();
    const std::size_t limit =
        last ? blocks.size() : first_block_from(blocks, trip.warm_ups[i + 1].start_s);
    const std::size_t first = first_block_from(blocks, warm_up.start_s);
    if (first >= limit) continue;
    const Extent extent = extent_of(trip, first, limit);
    measure_conditions(warm_up, blocks, extent);
    if (!extent.broken)
      warm_up.rate_k_per_min = rate_of(heat_series(blocks, extent.first, extent.warmed));
    warm_up.opened_c = opening_of(trip, extent);
  }
}

} // namespace coolband
