// SPDX-License-Identifier: Apache-2.0
// From summaries of drives to the band: slopes first, then which drives are sound, then the spread.
#include "band/spread.hpp"
#include "coolband/band/normal_band.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"
#include "numeric/repeated_median.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Load between none and full moves a sound vehicle by the opening span of its thermostat, 8-15 K
/// (spans named in docs/methods.md); twice that is the bound of what is believed, K per %.
constexpr Range k_load_slope_bounds{-0.05, 0.30};
/// A regulating vehicle hardly follows the outside air; a slope of 1 would mean that it does not
/// regulate at all, K per K.
constexpr Range k_ambient_slope_bounds{-0.10, 0.50};
constexpr std::size_t k_drives_for_ambient = 5;
constexpr double k_ambient_span_c = 10.0;
/// Two drives tell a slope only when they were this far apart in outside temperature.
constexpr double k_ambient_step_c = 3.0;
/// A drive is abnormal beyond 3 robust sigmas of the drives' levels, but never within the
/// thermostat's own tolerance of 3 K and always beyond 5 K (outside its opening range).
constexpr Range k_level_tolerance_c{3.0, 5.0};
/// Sound drives agree within the least opening span of a thermostat, 8 K.
constexpr double k_widest_agreement_c = 8.0;
constexpr double k_swing_c = 3.0;
/// A band wider than this either way holds everything and tells nothing, K.
constexpr double k_widest_band_c = 25.0;
/// A sound system holds a couple of degrees; beyond twice that something may be wrong with all
/// drives, K (common practice, no source).
constexpr double k_unsteady_c = 4.0;
/// No thermostat holds an engine this cold (the lowest common class opens at 71 °C).
constexpr double k_coldest_band_c = 60.0;

double clamped(double value, const Range& bounds) {
  return std::clamp(value, bounds.low, bounds.high);
}

/// Sorted, so that the order of arrival does not matter, and each drive once.
void put_in_order(std::vector<DriveSummary>& drives) {
  const auto key = [](const DriveSummary& d) {
    return std::tie(d.start, d.source, d.level_c, d.warm_s);
  };
  std::sort(drives.begin(), drives.end(),
            [&](const auto& a, const auto& b) { return key(a) < key(b); });
  const auto same = [&](const auto& a, const auto& b) { return key(a) == key(b); };
  drives.erase(std::unique(drives.begin(), drives.end(), same), drives.end());
}

std::vector<double> collect(const std::vector<DriveSummary>& drives,
                            std::optional<double> DriveSummary::*field) {
  std::vector<double> values;
  for (const DriveSummary& drive : drives) {
    if (drive.*field) values.push_back(*(drive.*field));
  }
  return values;
}

/// A median, rounded to a step that a person would name as the condition.
std::optional<double> typical(std::vector<double> values, double step) {
  if (values.empty()) return std::nullopt;
  return std::round(median(std::move(values)) / step) * step;
}

/// Weighted median of the drives' own slopes: half of the drives may be faulty.
std::optional<double> common_load_slope(const std::vector<DriveSummary>& drives) {
  std::vector<double> slopes;
  std::vector<double> weights;
  for (const DriveSummary& drive : drives) {
    if (!drive.load_slope) continue;
    // Slopes differ between drives beyond their errors (other gears, other winds): 0.02 K per %.
    slopes.push_back(*drive.load_slope);
    weights.push_back(1.0 / (std::pow(drive.load_slope_error.value_or(0.0), 2) + 0.02 * 0.02));
  }
  if (slopes.empty()) return std::nullopt;
  return clamped(weighted_median(slopes, weights), k_load_slope_bounds);
}

/// The drives' levels brought to the reference load.
std::vector<double> levels_at_reference(const std::vector<DriveSummary>& drives,
                                        const NormalBand& band) {
  std::vector<double> levels;
  for (const DriveSummary& drive : drives) {
    double level = drive.level_c;
    if (band.load_c_per_pct && drive.load_mean_pct) {
      level += *band.load_c_per_pct * (*band.reference_load_pct - *drive.load_mean_pct);
    }
    levels.push_back(level);
  }
  return levels;
}

struct AmbientPoints {
  std::vector<double> ambient;
  std::vector<double> level;
};

AmbientPoints ambient_points(const std::vector<DriveSummary>& drives,
                             const std::vector<double>& levels) {
  AmbientPoints points;
  for (std::size_t i = 0; i < drives.size(); ++i) {
    if (!drives[i].ambient_mean_c) continue;
    points.ambient.push_back(*drives[i].ambient_mean_c);
    points.level.push_back(levels[i]);
  }
  return points;
}

bool enough(const AmbientPoints& points) {
  if (points.ambient.size() < k_drives_for_ambient) return false;
  const auto [low, high] = std::minmax_element(points.ambient.begin(), points.ambient.end());
  return *high - *low >= k_ambient_span_c;
}

/// Levels less the ambient effect.
std::vector<double> without_ambient(const std::vector<DriveSummary>& drives,
                                    std::vector<double> levels, const NormalBand& band) {
  for (std::size_t i = 0; i < drives.size(); ++i) {
    if (!band.ambient_c_per_c || !drives[i].ambient_mean_c) continue;
    levels[i] -= *band.ambient_c_per_c * (*drives[i].ambient_mean_c - *band.reference_ambient_c);
  }
  return levels;
}

/// A drive's scatter about the load slope that all share.
double scatter_about(const DriveSummary& drive, std::optional<double> load_slope) {
  if (!drive.load_slope || !load_slope) return drive.scatter_c;
  return std::hypot(drive.scatter_c,
                    (*drive.load_slope - *load_slope) * drive.load_scatter_pct.value_or(0.0));
}

/// Moves abnormal drives from band.drives to band.left_out. Uses a slope that 50 % of the drives
/// cannot drag, so that a faulty drive on a frosty day does not pass for weather.
void leave_out_abnormal(NormalBand& band) {
  NormalBand robust = band;
  const auto levels = levels_at_reference(band.drives, band);
  const auto points = ambient_points(band.drives, levels);
  if (enough(points)) {
    const double slope = repeated_median_slope(points.ambient, points.level, k_ambient_step_c);
    if (!std::isnan(slope)) robust.ambient_c_per_c = clamped(slope, k_ambient_slope_bounds);
  }
  const auto flat = without_ambient(band.drives, levels, robust);
  const double centre = median(flat);
  const double tolerance = clamped(3.0 * mad_sigma(flat), k_level_tolerance_c);
  std::vector<double> scatters;
  for (const DriveSummary& drive : band.drives) {
    scatters.push_back(scatter_about(drive, band.load_c_per_pct));
  }
  const double swing = std::max(k_swing_c, 3.0 * median(scatters));
  std::vector<DriveSummary> sound;
  for (std::size_t i = 0; i < flat.size(); ++i) {
    const DriveSummary& drive = band.drives[i];
    if (std::abs(flat[i] - centre) > tolerance) {
      band.left_out.push_back(
          {drive, fmt::format("ran at {:.1f} °C where the other drives run at {:.1f} °C", flat[i],
                              centre)});
    } else if (scatters[i] > swing) {
      band.left_out.push_back(
          {drive, fmt::format("swings by {:.1f} K (1 s.d.) about its own level", scatters[i])});
    } else {
      sound.push_back(drive);
    }
  }
  band.drives = std::move(sound);
}

/// Final slope on ambient from the sound drives only.
void fit_ambient(NormalBand& band, const std::vector<double>& levels) {
  const auto points = ambient_points(band.drives, levels);
  if (!enough(points)) return;
  RobustFitOptions options;
  options.loss = Loss::huber;
  const std::vector<std::vector<double>> columns{points.ambient};
  const auto fit = fit_robust(points.level, columns, options);
  if (fit) band.ambient_c_per_c = clamped(fit->coefficients[1], k_ambient_slope_bounds);
}

void add_ranges(NormalBand& band) {
  const auto widen = [](std::optional<Range>& all, const std::optional<Range>& one) {
    if (!one) return;
    if (!all) all = one;
    all->low = std::min(all->low, one->low);
    all->high = std::max(all->high, one->high);
  };
  for (const DriveSummary& drive : band.drives) {
    widen(band.load_seen_pct, drive.load_seen_pct);
    widen(band.ambient_seen_c, drive.ambient_seen_c);
  }
}

void add_notes(NormalBand& band, const std::optional<VehicleProfile>& profile) {
  if (band.drives.size() < k_drives_for_ambient) {
    band.notes.push_back(fmt::format("rests on {} drive{}: ten or more would narrow it",
                                     band.drives.size(), band.drives.size() == 1 ? "" : "s"));
  }
  if (!band.load_c_per_pct)
    band.notes.emplace_back("no load effect: the logs have no load that varies enough");
  if (!band.ambient_c_per_c) {
    band.notes.push_back(
        fmt::format("no ambient effect: it takes {} drives over {:.0f} K of outside temperature",
                    k_drives_for_ambient, k_ambient_span_c));
  }
  if (band.within_c > k_unsteady_c) {
    band.notes.push_back(
        fmt::format("swings by {:.1f} K (1 s.d.) within a drive, more than a sound "
                    "thermostat lets it: the learned drives may all be faulty",
                    band.within_c));
  }
  const auto rating = profile ? profile->thermostat_opens_c : std::nullopt;
  if (rating && band.centre_c < *rating - k_level_tolerance_c.low) {
    band.notes.push_back(
        fmt::format("the centre lies {:.1f} K below the thermostat's rating of {:.0f} °C: the "
                    "learned drives may all be faulty",
                    *rating - band.centre_c, *rating));
  }
}

Error contradiction(const NormalBand& band) {
  std::string message = "the drives contradict each other, so none can be called normal:";
  for (const auto& drive : band.drives) {
    message += fmt::format(" {} runs at {:.1f} °C;", drive.source, drive.level_c);
  }
  for (const auto& left : band.left_out)
    message += fmt::format(" {} {};", left.drive.source, left.reason);
  message.pop_back();
  return {ErrorKind::input,
          {},
          message,
          "",
          "give more drives of normal running, or accept them with --keep-all"};
}

Error too_wide(const NormalBand& band) {
  return {ErrorKind::input,
          {},
          fmt::format("these drives give no usable band: {:.0f} °C give or take {:.0f} K",
                      band.centre_c, band.half_width_c),
          "",
          "give more drives of normal running"};
}

Error too_cold(const NormalBand& band) {
  return {ErrorKind::input,
          {},
          fmt::format("these drives run at {:.0f} °C, which no thermostat holds", band.centre_c),
          "",
          "give drives in which the engine ran warm, and check the unit with 'coolband inspect'"};
}

bool agree(const std::vector<double>& levels) {
  const auto [low, high] = std::minmax_element(levels.begin(), levels.end());
  return *high - *low <= k_widest_agreement_c;
}

} // namespace

Result<NormalBand> learn_band(std::vector<DriveSummary> drives, const std::string& vehicle,
                              const std::optional<VehicleProfile>& profile,
                              const LearnOptions& options) {
  if (drives.empty()) {
    return Error{ErrorKind::input,
                 {},
                 "no drive to learn from",
                 "",
                 "give at least one log with 5 min of warm running"};
  }
  put_in_order(drives);
  NormalBand band;
  band.vehicle = vehicle;
  band.drives = std::move(drives);
  const std::size_t all = band.drives.size();
  band.reference_load_pct = typical(collect(band.drives, &DriveSummary::load_mean_pct), 5.0);
  band.reference_ambient_c = typical(collect(band.drives, &DriveSummary::ambient_mean_c), 5.0);
  band.load_c_per_pct = common_load_slope(band.drives);
  if (!options.keep_all) leave_out_abnormal(band);
  if (2 * band.drives.size() <= all && all > 1) return contradiction(band);
  if (!options.keep_all) band.load_c_per_pct = common_load_slope(band.drives);

  const auto levels = levels_at_reference(band.drives, band);
  fit_ambient(band, levels);
  auto residuals = without_ambient(band.drives, levels, band);
  if (!options.keep_all && !agree(residuals)) return contradiction(band);
  double sum = 0.0;
  for (const double level : residuals) sum += level;
  band.centre_c = sum / static_cast<double>(residuals.size());
  for (double& level : residuals) level -= band.centre_c;
  add_spread(band, residuals, band.ambient_c_per_c ? 1 : 0, options);
  if (band.half_width_c > k_widest_band_c) return too_wide(band);
  if (band.centre_c < k_coldest_band_c) return too_cold(band);
  add_ranges(band);
  if (profile) band.opens_c = profile->thermostat_opens_c;
  add_notes(band, profile);
  return band;
}

} // namespace coolband
