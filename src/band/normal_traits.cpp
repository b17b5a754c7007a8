// SPDX-License-Identifier: Apache-2.0
// Medians over drives, and a robust line for the rate of warming up.
#include "band/normal_traits.hpp"

#include "band/spread.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr std::size_t k_least_values = 3;
/// A line over load or ambient takes so many warm-ups, and so much between the outer ones.
constexpr std::size_t k_least_for_line = 6;
constexpr double k_least_load_range_pct = 10.0;
constexpr double k_least_ambient_range_c = 10.0;
/// Standard error of a median over that of a mean, sqrt(π/2).
constexpr double k_median_error = 1.2533141373155003;

/// Both a median and a scatter that a third of faulty drives cannot drag far. `rounding`: the
/// values are told no better than that (1 s.d.).
std::optional<Trait> trait_of(std::vector<double> values, double rounding = 0.0) {
  if (values.size() < k_least_values) return std::nullopt;
  Trait trait;
  trait.drives = values.size();
  trait.scatter = std::max(mad_sigma(values), rounding);
  trait.value = median(std::move(values));
  trait.error = k_median_error * trait.scatter / std::sqrt(static_cast<double>(trait.drives));
  return trait;
}

template <class Get>
std::optional<Trait> trait_over(const std::vector<DriveSummary>& drives, Get get,
                                double rounding = 0.0) {
  std::vector<double> values;
  for (const DriveSummary& drive : drives) {
    if (const std::optional<double> value = get(drive)) values.push_back(*value);
  }
  return trait_of(std::move(values), rounding);
}

/// What the usual step of the readings does to a temperature, K (1 s.d.).
double usual_rounding(const std::vector<DriveSummary>& drives) {
  std::vector<double> steps;
  steps.reserve(drives.size());
  for (const DriveSummary& drive : drives) steps.push_back(drive.resolution_c);
  return steps.empty() ? 0.0 : quantisation_sigma(median(std::move(steps)));
}

std::optional<double> opened_c(const DriveSummary& drive) {
  return drive.warm_up ? drive.warm_up->opened_c : std::nullopt;
}

/// Warm-ups with a rate; a condition that one of them lacks is left out altogether.
struct WarmUps {
  std::vector<double> rate;
  std::vector<double> load;
  std::vector<double> ambient;
};

WarmUps warm_ups_of(const std::vector<DriveSummary>& drives) {
  WarmUps warm_ups;
  for (const DriveSummary& drive : drives) {
    if (!drive.warm_up || !drive.warm_up->rate_k_per_min) continue;
    warm_ups.rate.push_back(*drive.warm_up->rate_k_per_min);
    if (drive.warm_up->load_mean_pct) warm_ups.load.push_back(*drive.warm_up->load_mean_pct);
    if (drive.warm_up->ambient_c) warm_ups.ambient.push_back(*drive.warm_up->ambient_c);
  }
  return warm_ups;
}

bool shows(const std::vector<double>& values, std::size_t all, double least_range) {
  if (values.size() != all || all < k_least_for_line) return false;
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return *high - *low >= least_range;
}

Range range_of(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return {*low, *high};
}

/// The rate at the median conditions, and what load and ambient add to it.
std::optional<WarmUpNormal> learn_warm_up(const std::vector<DriveSummary>& drives) {
  const WarmUps warm_ups = warm_ups_of(drives);
  const auto plain = trait_of(warm_ups.rate);
  if (!plain) return std::nullopt;
  WarmUpNormal normal{*plain, {}, {}};
  std::vector<std::vector<double>> columns;
  std::vector<std::optional<Effect>*> effects;
  const auto take = [&](const std::vector<double>& values, double least_range,
                        std::optional<Effect>& effect) {
    if (!shows(values, warm_ups.rate.size(), least_range)) return;
    const double reference = median(values);
    columns.push_back(values);
    for (double& value : columns.back()) value -= reference;
    effect = Effect{0.0, 0.0, reference, range_of(values)};
    effects.push_back(&effect);
  };
  take(warm_ups.load, k_least_load_range_pct, normal.load);
  take(warm_ups.ambient, k_least_ambient_range_c, normal.ambient);
  if (columns.empty()) return normal;
  const auto fit = fit_robust(warm_ups.rate, columns);
  if (!fit || std::isnan(fit->standard_errors[0])) return WarmUpNormal{*plain, {}, {}};
  normal.rate_k_per_min = {fit->coefficients[0], fit->standard_errors[0], fit->scale,
                           warm_ups.rate.size()};
  for (std::size_t i = 0; i < effects.size(); ++i) {
    (*effects[i])->slope = fit->coefficients[i + 1];
    (*effects[i])->error = fit->standard_errors[i + 1];
  }
  return normal;
}

} // namespace

Traits learn_traits(const std::vector<DriveSummary>& drives) {
  Traits traits;
  traits.warm_up = learn_warm_up(drives);
  const double rounding = usual_rounding(drives);
  traits.opens_c = trait_over(drives, opened_c, rounding);
  traits.amplitude_k =
      trait_over(drives, [](const DriveSummary& d) { return d.regulation.amplitude_k; });
  traits.period_s = trait_over(drives, [](const DriveSummary& d) { return d.regulation.period_s; });
  traits.hottest_idle_c = trait_over(
      drives, [](const DriveSummary& d) { return d.regulation.hottest_idle_c; }, rounding);
  traits.best_cooling_k_per_min =
      trait_over(drives, [](const DriveSummary& d) { return d.regulation.best_cooling_k_per_min; });
  traits.dips_per_h =
      trait_over(drives, [](const DriveSummary& d) { return d.regulation.dips_per_h; });
  traits.roughness_k =
      trait_over(drives, [](const DriveSummary& d) { return d.regulation.roughness_k; });
  return traits;
}

bool is_restless(const Traits& traits) {
  // 0.1 K/s over 100 to 150 kJ/K; open logs of sound vehicles show 0.1 to 0.3 K.
  constexpr double k_restless_k = 0.5;
  constexpr double k_95_pct = 1.645;
  return traits.roughness_k &&
         traits.roughness_k->value - k_95_pct * traits.roughness_k->error >= k_restless_k;
}

std::optional<double> expected_warm_up_s(const NormalBand& band, const WarmUp& warm_up) {
  if (!band.traits.warm_up) return std::nullopt;
  const WarmUpNormal& normal = *band.traits.warm_up;
  double rate = normal.rate_k_per_min.value;
  const auto add = [&](const std::optional<Effect>& effect, std::optional<double> value) {
    if (!effect || !value || !effect->seen) return;
    // A straight line is no guide far from where it was drawn.
    const double within = std::clamp(*value, effect->seen->low, effect->seen->high);
    rate += effect->slope * (within - effect->reference);
  };
  add(normal.load, warm_up.load_mean_pct);
  add(normal.ambient, warm_up.ambient_c);
  const double rise_k = band.centre_c - k_regulation_begins_k - warm_up.from_c;
  if (rate <= 0.0 || rise_k <= 0.0) return std::nullopt;
  return rise_k / rate * 60.0;
}

} // namespace coolband
