// SPDX-License-Identifier: Apache-2.0
// Contrasts within one trip: standing against driving, light against heavy load.
#include "diagnose/where_off.hpp"

#include "diagnose/likelihoods.hpp"
#include "diagnose/opening_span.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr double k_standing_kmh = 20.0;
/// Air takes minutes to cool an engine: road speed through a lag of about two minutes, a block.
constexpr double k_speed_memory = 0.08;
/// Share of a new block's load in the load that the engine's temperature remembers: 300 s.
constexpr double k_load_memory = 0.033;
/// Light and heavy load must differ by this to be told apart, %.
constexpr double k_load_contrast_pct = 10.0;
/// A context must have been seen this long before its absence means anything, s.
constexpr double k_context_s = 300.0;

/// Warm time and hot time inside and outside one context.
struct Context {
  double warm_in_s = 0.0;
  double warm_out_s = 0.0;
  double hot_in_s = 0.0;
  double hot_out_s = 0.0;

  [[nodiscard]] bool seen_both() const {
    return warm_in_s >= k_context_s && warm_out_s >= k_context_s;
  }
  [[nodiscard]] bool only_inside() const {
    return seen_both() && hot_in_s > 4.0 * hot_out_s && hot_out_s < 0.1 * warm_out_s;
  }
};

template <class Inside>
Context tally(const Deviations& deviations, Inside inside) {
  Context context;
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const double deviation = deviations.from_centre(i);
    const std::optional<bool> in = inside(i);
    if (std::isnan(deviation) || !in) continue;
    const double length_s = deviations.duration(i);
    (*in ? context.warm_in_s : context.warm_out_s) += length_s;
    if (deviation > deviations.limit(i)) (*in ? context.hot_in_s : context.hot_out_s) += length_s;
  }
  return context;
}

/// First-order lag; from NaN it begins with what is.
double remembered(double before, double now, double memory) {
  return std::isnan(before) ? now : before + memory * (now - before);
}

/// Deviation against lagged load: an engine's heat capacity makes minutes of both.
struct LoadContrast {
  double light_c = 0.0; ///< K, mean deviation in the least loaded third of the warm running
  double heavy_c = 0.0; ///< K, and in the most loaded third
  double limit_c = 0.0;
};

/// Nothing where load did not vary, or was not logged.
std::optional<LoadContrast> contrast_by_load(const Trip& trip, const Deviations& deviations) {
  std::vector<std::pair<float, std::uint32_t>> by_load;
  by_load.reserve(deviations.size());
  double load_pct = std::nan("");
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const auto now = known(trip.blocks.load_lagged[i]);
    if (now) load_pct = remembered(load_pct, *now, k_load_memory);
    if (!std::isnan(load_pct) && !std::isnan(deviations.from_centre(i)))
      by_load.emplace_back(static_cast<float>(load_pct), static_cast<std::uint32_t>(i));
  }
  const std::size_t third = by_load.size() / 3;
  if (third < 10) return std::nullopt;
  std::sort(by_load.begin(), by_load.end());
  const float contrast_pct = by_load[by_load.size() - third].first - by_load[third].first;
  if (static_cast<double>(contrast_pct) < k_load_contrast_pct) return std::nullopt;
  LoadContrast contrast;
  for (std::size_t k = 0; k < third; ++k) {
    const std::size_t heavy = by_load[by_load.size() - 1 - k].second;
    contrast.light_c += deviations.from_centre(by_load[k].second) / static_cast<double>(third);
    contrast.heavy_c += deviations.from_centre(heavy) / static_cast<double>(third);
    contrast.limit_c += deviations.limit(heavy) / static_cast<double>(third);
  }
  return contrast;
}

/// Too little cooling shows as the load rises. A thermostat that opens late still regulates over
/// its opening span, so its excess hardly depends on the load and never by more than that span.
bool grows_with_load(const LoadContrast& contrast) {
  return contrast.heavy_c > contrast.limit_c &&
         (contrast.heavy_c > 3.0 * contrast.light_c ||
          contrast.heavy_c - contrast.light_c > k_widest_span_k);
}

/// Means over the blocks of one kind.
struct Side {
  double s = 0.0;
  double deviation_c = 0.0; ///< K
  double limit_c = 0.0;
  double load_pct = 0.0;

  void add(double length_s, double deviation_now_c, double limit_now_c, double load_now_pct) {
    if (!(length_s > 0.0)) return;
    s += length_s;
    const double part = length_s / s;
    deviation_c += part * (deviation_now_c - deviation_c);
    limit_c += part * (limit_now_c - limit_c);
    load_pct += part * (load_now_pct - load_pct);
  }
};

struct SpeedContrast {
  Side standing;
  Side driving;

  /// Standing asks least of all but the fan: it draws the air that driving brings by itself.
  [[nodiscard]] bool falls_with_speed() const {
    return standing.s >= k_context_s && driving.s >= k_context_s &&
           standing.deviation_c > standing.limit_c &&
           driving.deviation_c < 0.5 * standing.deviation_c && standing.load_pct < driving.load_pct;
  }
};

SpeedContrast contrast_by_speed(const Trip& trip, const Deviations& deviations) {
  SpeedContrast contrast;
  double speed_kmh = std::nan("");
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const auto now = known(trip.blocks.speed[i]);
    const auto load = known(trip.blocks.load[i]);
    if (!now || !load) continue;
    speed_kmh = remembered(speed_kmh, *now, k_speed_memory);
    if (std::isnan(deviations.from_centre(i))) continue;
    (speed_kmh < k_standing_kmh ? contrast.standing : contrast.driving)
        .add(deviations.duration(i), deviations.from_centre(i), deviations.limit(i), *load);
  }
  return contrast;
}

} // namespace

void add_where_hot(std::vector<Evidence>& evidence, const Trip& trip,
                   const Deviations& deviations) {
  const auto slow = tally(deviations, [&](std::size_t i) -> std::optional<bool> {
    const auto speed = known(trip.blocks.speed[i]);
    return speed ? std::optional(*speed < k_standing_kmh) : std::nullopt;
  });
  const auto load = contrast_by_load(trip, deviations);
  const SpeedContrast by_speed = contrast_by_speed(trip, deviations);
  if (slow.only_inside()) {
    evidence.push_back(
        {"hot when slow or standing, and not at speed", likelihoods::k_hot_when_slow});
  } else if (by_speed.falls_with_speed()) {
    evidence.push_back({fmt::format("hotter slow or standing than at speed, though with less load: "
                                    "{:+.1f} and {:+.1f} K",
                                    by_speed.standing.deviation_c, by_speed.driving.deviation_c),
                        likelihoods::k_hot_when_slow});
  } else if (load && grows_with_load(*load)) {
    evidence.push_back({fmt::format("hotter as the load rises: {:+.1f} K at light, {:+.1f} K at "
                                    "heavy load",
                                    load->light_c, load->heavy_c),
                        likelihoods::k_hot_under_load});
  } else if (slow.seen_both() || load) {
    evidence.push_back({"hot at any speed and load", likelihoods::k_hot_everywhere});
  }
}

std::optional<double> speed_correlation(const Trip& trip, const Deviations& deviations) {
  double n = 0.0;
  double sx = 0.0;
  double sy = 0.0;
  double sxx = 0.0;
  double syy = 0.0;
  double sxy = 0.0;
  double speed_kmh = std::nan("");
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const auto now = known(trip.blocks.speed[i]);
    if (now) speed_kmh = remembered(speed_kmh, *now, k_speed_memory);
    const double y = deviations.from_centre(i);
    if (std::isnan(y) || std::isnan(speed_kmh)) continue;
    n += 1.0;
    sx += speed_kmh;
    sy += y;
    sxx += speed_kmh * speed_kmh;
    syy += y * y;
    sxy += speed_kmh * y;
  }
  if (n < 30.0) return std::nullopt;
  const double vx = sxx / n - sx / n * (sx / n);
  const double vy = syy / n - sy / n * (sy / n);
  if (vx < 100.0 || vy <= 0.0) return std::nullopt;
  return (sxy / n - sx / n * (sy / n)) / std::sqrt(vx * vy);
}

} // namespace coolband
