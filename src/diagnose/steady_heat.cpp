// SPDX-License-Identifier: Apache-2.0
// Half-minute means, and through every four minutes of them a straight line.
#include "diagnose/steady_heat.hpp"

#include "diagnose/usual_dips.hpp"
#include "diagnose/usual_opening.hpp"
#include "segment/blocks_within.hpp"

#include <cmath>
#include <cstddef>
#include <vector>

namespace coolband {

namespace {

constexpr double k_mean_over_s = 30.0;
constexpr double k_line_over_s = 240.0;
/// Of the eight of a line; and of the steps between them those without any change that show the
/// reading's own step rather than the coolant's course.
constexpr std::size_t k_least_means = 6;
constexpr double k_standing_share = 0.7;
/// An engine that idles makes 2 to 5 kW for its coolant (common practice, no source), the same
/// within a fifth; over 100 to 150 kJ/K that bends two minutes by a tenth of a kelvin. Driving
/// changes it by 10 kW, which bends them by several.
constexpr double k_straight_within_k = 0.15;
/// And with the thermostat shut lifts no engine faster, K/min.
constexpr double k_idle_rise_k_per_min = 2.0;
/// Of the roughness of a reading, ten seconds' mean off the middle of its neighbours, so much is
/// left in half a minute's mean: √(1 / 3) of it, and √(3 / 2) less for the neighbours' own.
constexpr double k_roughness_of_mean = 0.47;

struct Mean {
  double time_s = 0.0;
  double coolant_c = 0.0;
};

std::vector<Mean> means_of(const Blocks& blocks, double from_s, double to_s) {
  std::vector<Mean> means;
  const auto [first, past] = blocks_within(blocks, from_s, to_s);
  double slot = -1.0;
  double count = 0.0;
  for (std::size_t i = first; i < past; ++i) {
    const float coolant = blocks.coolant[i];
    if (std::isnan(coolant)) continue;
    const double middle_s = 0.5 * (blocks.start_s[i] + blocks.end_s[i]);
    const double now = std::floor((blocks.start_s[i] - from_s) / k_mean_over_s);
    if (now != slot) {
      means.emplace_back();
      slot = now;
      count = 0.0;
    }
    count += 1.0;
    means.back().time_s += (middle_s - means.back().time_s) / count;
    means.back().coolant_c += (static_cast<double>(coolant) - means.back().coolant_c) / count;
  }
  return means;
}

struct Line {
  double slope_k_per_min = 0.0;
  double off_k = 0.0; ///< standard deviation about it
};

Line line_through(const std::vector<Mean>& means, std::size_t first, std::size_t past) {
  const double n = static_cast<double>(past - first);
  double time_s = 0.0;
  double coolant_c = 0.0;
  for (std::size_t i = first; i < past; ++i) {
    time_s += means[i].time_s / n;
    coolant_c += means[i].coolant_c / n;
  }
  double tt = 0.0;
  double tc = 0.0;
  double cc = 0.0;
  for (std::size_t i = first; i < past; ++i) {
    const double t = (means[i].time_s - time_s) / 60.0;
    const double c = means[i].coolant_c - coolant_c;
    tt += t * t;
    tc += t * c;
    cc += c * c;
  }
  const double left = cc - tc * tc / tt;
  return {tc / tt, std::sqrt((left > 0.0 ? left : 0.0) / (n - 2.0))};
}

/// The reading's own step hides how it goes.
bool stands_by_steps(const std::vector<Mean>& means, std::size_t first, std::size_t past) {
  std::size_t standing = 0;
  for (std::size_t i = first; i + 1 < past; ++i)
    if (means[i + 1].coolant_c == means[i].coolant_c) ++standing;
  return static_cast<double>(standing) >= k_standing_share * static_cast<double>(past - first - 1);
}

/// About a line through half minutes' means, of an engine that idles.
double straight_within_k(const Trip& trip, const NormalBand& band) {
  const double rounding_k = trip.resolution_c / std::sqrt(12.0);
  const auto& roughness = band.traits.roughness_k;
  const double noise_k = k_roughness_of_mean * (roughness ? roughness->value : 0.0);
  return std::sqrt(k_straight_within_k * k_straight_within_k + rounding_k * rounding_k +
                   noise_k * noise_k);
}

/// A sound valve is shut so far below where the learned drives' rise bends.
constexpr double k_shut_below_bend_k = k_bend_above_rating_k + 2.0 * k_bend_scatter_k;

double shut_on_the_way_c(const NormalBand& band) {
  const auto& bends = band.traits.opens_c;
  if (!bends) return shut_below_c(band);
  return bends->value - k_shut_below_bend_k - 2.0 * std::hypot(bends->scatter, bends->error);
}

} // namespace

AtWork at_work(const Trip& trip, const NormalBand& band, double from_s, double to_s) {
  const std::vector<Mean> means = means_of(trip.blocks, from_s, to_s);
  const double straight_k = straight_within_k(trip, band);
  // Of every step from mean to mean.
  std::vector<bool> told(means.size(), false);
  std::vector<bool> may_idle(means.size(), false);
  std::size_t past = 0;
  for (std::size_t first = 0; first < means.size(); ++first) {
    while (past < means.size() && means[past].time_s - means[first].time_s < k_line_over_s) ++past;
    if (past - first < k_least_means) continue;
    const Line line = line_through(means, first, past);
    const bool idles = (line.off_k < straight_k && line.slope_k_per_min < k_idle_rise_k_per_min) ||
                       stands_by_steps(means, first, past);
    for (std::size_t i = first; i + 1 < past; ++i) {
      told[i] = true;
      may_idle[i] = may_idle[i] || idles;
    }
  }
  const double shut_c = shut_on_the_way_c(band);
  AtWork work;
  for (std::size_t i = 0; i + 1 < means.size(); ++i) {
    const double step_s = means[i + 1].time_s - means[i].time_s;
    if (!told[i] || may_idle[i] || step_s > 2.0 * k_mean_over_s) continue;
    if (means[i].coolant_c > shut_c || means[i + 1].coolant_c > shut_c) continue;
    work.seconds += step_s;
    work.rise_k += means[i + 1].coolant_c - means[i].coolant_c;
  }
  return work;
}

} // namespace coolband
