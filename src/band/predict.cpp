// SPDX-License-Identifier: Apache-2.0
// What the band expects under given conditions.
#include "coolband/band/normal_band.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

double beyond(const std::optional<Range>& seen, double value) {
  if (!seen) return 0.0;
  return std::max({0.0, seen->low - value, value - seen->high});
}

/// One correction: shifts the centre, and widens the limits by what lies beyond experience.
void correct(Prediction& prediction, double& widening, std::optional<double> slope,
             std::optional<double> reference, std::optional<double> value,
             const std::optional<Range>& seen) {
  if (!value) return;
  const double outside = beyond(seen, *value);
  if (outside > 0.0) prediction.extrapolated = true;
  if (!slope || !reference) return;
  prediction.centre_c += *slope * (*value - *reference);
  widening += std::abs(*slope) * outside;
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

Prediction predict(const NormalBand& band, std::optional<double> load_pct,
                   std::optional<double> ambient_c) {
  Prediction prediction;
  prediction.centre_c = band.centre_c;
  double widening = 0.0;
  correct(prediction, widening, band.load_c_per_pct, band.reference_load_pct, load_pct,
          band.load_seen_pct);
  correct(prediction, widening, band.ambient_c_per_c, band.reference_ambient_c, ambient_c,
          band.ambient_seen_c);
  prediction.lower_c = prediction.centre_c - band.half_width_c - widening;
  prediction.upper_c = prediction.centre_c + band.half_width_c + widening;
  return prediction;
}

} // namespace coolband
