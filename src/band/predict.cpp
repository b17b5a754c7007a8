// SPDX-License-Identifier: Apache-2.0
// What the band expects under given conditions.
#include "coolband/band/normal_band.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// Where the drives taught no effect, nothing is known of conditions beyond those seen but that a
/// sound vehicle does not follow them by more than this (as for the bounds of what is learned, and
/// like those common practice, no source).
constexpr double k_unknown_load_c_per_pct = 0.10;
constexpr double k_unknown_ambient_c_per_c = 0.10;

double beyond(const std::optional<Range>& seen, double value) {
  if (!seen) return 0.0;
  return std::max({0.0, seen->low - value, value - seen->high});
}

std::optional<Effect> effect_of(std::optional<double> slope, double error,
                                std::optional<double> reference, const std::optional<Range>& seen,
                                double unknown) {
  if (slope && reference) return Effect{*slope, error, *reference, seen};
  if (!seen) return std::nullopt;
  return Effect{0.0, unknown, 0.0, seen};
}

} // namespace

std::string_view name_of(BandOrigin origin) {
  switch (origin) {
  case BandOrigin::learned: return "learned";
  case BandOrigin::profile: return "profile";
  case BandOrigin::trip: return "trip";
  }
  return "learned";
}

double NormalBand::spread_c() const { return std::hypot(between_c, within_c); }

std::size_t NormalBand::drive_count() const {
  std::size_t count = drives.size();
  for (const FoldedDrives& sums : folded) count += sums.count;
  return count;
}

double moved_since_c(const NormalBand& band, const EarlierBand& earlier) {
  const auto correction = [](std::optional<double> then_slope, std::optional<double> now_slope,
                             std::optional<double> then, std::optional<double> now) {
    const auto slope = then_slope ? then_slope : now_slope;
    return slope && then && now ? *slope * (*now - *then) : 0.0;
  };
  const double then_c = earlier.centre_c +
                        correction(earlier.load_c_per_pct, band.load_c_per_pct,
                                   earlier.reference_load_pct, band.reference_load_pct) +
                        correction(earlier.ambient_c_per_c, band.ambient_c_per_c,
                                   earlier.reference_ambient_c, band.reference_ambient_c);
  return band.centre_c - then_c;
}

struct Predictor::Sum {
  double shift_c = 0.0;
  double variance_k2 = 0.0; ///< of the expected value
  double widening_c = 0.0;
  bool extrapolated = false;
};

Predictor::Predictor(const NormalBand& band)
    : centre_c_(band.centre_c), spread_c_(band.spread_c()), half_width_c_(band.half_width_c),
      centre_variance_k2_(band.centre_error_c * band.centre_error_c),
      widening_(centre_variance_k2_ > 0.0 ? band.widening : std::vector<double>()),
      effects_{effect_of(band.load_c_per_pct, band.load_error_c_per_pct, band.reference_load_pct,
                         band.load_seen_pct, k_unknown_load_c_per_pct),
               effect_of(band.ambient_c_per_c, band.ambient_error_c_per_c, band.reference_ambient_c,
                         band.ambient_seen_c, k_unknown_ambient_c_per_c),
               band.speed, band.idle, band.climb} {}

void Predictor::add(Sum& sum, const std::optional<Effect>& effect,
                    std::optional<double> value) const {
  if (!effect || !value) return;
  const double outside = beyond(effect->seen, *value);
  sum.extrapolated |= outside > 0.0;
  if (effect->slope == 0.0) { // not learned: only what lies outside is unknown
    sum.widening_c += effect->error * outside;
    return;
  }
  const double distance = *value - effect->reference;
  sum.shift_c += effect->slope * distance;
  sum.variance_k2 += effect->error * effect->error * distance * distance;
  sum.widening_c += std::abs(effect->slope) * outside;
}

/// Between two of the table; straight on behind its end.
double Predictor::widening(double effective_count) const {
  const double place = 1.0 / std::sqrt(effective_count) / k_widening_step;
  const auto at = std::min(static_cast<std::size_t>(place), widening_.size() - 2);
  const double share = place - static_cast<double>(at);
  return widening_[at] + share * (widening_[at + 1] - widening_[at]);
}

Prediction Predictor::at(const Conditions& conditions) const {
  Sum sum;
  sum.variance_k2 = centre_variance_k2_;
  add(sum, effects_[0], conditions.load_pct);
  add(sum, effects_[1], conditions.ambient_c);
  add(sum, effects_[2], conditions.speed_kmh);
  add(sum, effects_[3], conditions.idle_share);
  add(sum, effects_[4], conditions.climb_m_per_min);
  Prediction prediction;
  prediction.centre_c = centre_c_ + sum.shift_c;
  prediction.extrapolated = sum.extrapolated;
  double half_c = half_width_c_;
  if (widening_.size() >= 2) {
    prediction.effective_count = spread_c_ * spread_c_ / sum.variance_k2;
    half_c *= widening(prediction.effective_count);
  }
  prediction.lower_c = prediction.centre_c - half_c - sum.widening_c;
  prediction.upper_c = prediction.centre_c + half_c + sum.widening_c;
  return prediction;
}

Prediction predict(const NormalBand& band, const Conditions& conditions) {
  return Predictor(band).at(conditions);
}

} // namespace coolband
