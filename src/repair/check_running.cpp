// SPDX-License-Identifier: Apache-2.0
// Is the warm-up right, and is air still about?
#include "repair/verification.hpp"

#include "numeric/distributions.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Slower than usual by so much, and beyond three times what this vehicle's own warm-ups differ by,
/// is slow (common practice, no source).
constexpr double k_slow_share = 0.25;
constexpr double k_slow_spreads = 3.0;

// Signs of air. Dips are counted as the judgement counts them; a swing of an unknown vehicle is
// told from one that was usual (common practice, no source).
constexpr std::size_t k_many_dips = 3;
constexpr double k_swing_beyond_k = 1.5;
constexpr double k_swing_unknown_k = 3.0;
constexpr double k_air_probable = 0.2;
constexpr std::size_t k_latest_drives = 2;

/// A level that moves by less from the first drive to the last is not called moving, as a share of
/// the margin.
constexpr double k_drift_share = 1.0 / 3.0;
constexpr std::size_t k_least_for_drift = 4;
constexpr double k_drift_alpha = 0.05;

/// What the warm-ups of a vehicle differ by, of their mean, known from `drives` of them.
struct WarmUpScatter {
  double share = 0.0;
  double error = 0.0; ///< of the usual pace itself
  double drives = 1.0;
};

WarmUpScatter scatter_of(const NormalBand& band) {
  const Trait& rate = band.traits.warm_up->rate_k_per_min;
  if (!(rate.value > 0.0)) return {};
  return {rate.scatter / rate.value, rate.error / rate.value,
          std::max(1.0, static_cast<double>(rate.drives))};
}

/// 90 % of the mean ratio; the scatter is pooled from these warm-ups and the band's.
std::optional<Range> interval_of(const std::vector<double>& ratios, const WarmUpScatter& usual) {
  const auto n = static_cast<double>(ratios.size());
  const double freedom = n + usual.drives - 2.0;
  if (freedom < 1.0) return std::nullopt;
  double mean = 0.0;
  for (const double ratio : ratios) mean += ratio / n;
  double squares = (usual.drives - 1.0) * usual.share * usual.share;
  for (const double ratio : ratios) squares += (ratio - mean) * (ratio - mean);
  const double error = std::hypot(std::sqrt(squares / freedom / n), usual.error);
  const double reach = student_t_quantile(0.95, freedom) * error;
  return Range{mean - reach, mean + reach};
}

WarmUpOutcome outcome_of(const WarmUpCheck& check) {
  if (check.seen == 0) return WarmUpOutcome::not_seen;
  if (2 * check.endless >= check.seen) return WarmUpOutcome::slow;
  if (!check.ratio_interval) return WarmUpOutcome::open;
  if (check.ratio_interval->low > check.allowed_ratio) return WarmUpOutcome::slow;
  const bool usual = check.ratio_interval->high <= check.allowed_ratio && check.endless == 0;
  return usual ? WarmUpOutcome::usual : WarmUpOutcome::open;
}

/// What sound drives of a vehicle differ by, known as from nine (common practice, no source).
constexpr double k_pace_scatter = 0.03;
constexpr double k_pace_freedom = 8.0;
/// Where the circuit foretells a pace no better, it tells nothing: the cabin heater in the cold,
/// for one, draws as much as a leaking valve lets by.
constexpr double k_worst_pace_error = 0.1;

void add_pace(WarmUpCheck& check, const std::vector<ProofDrive>& after) {
  std::vector<double> paces;
  for (const ProofDrive& drive : after) {
    if (!drive.counts() || !drive.shut_pace || drive.shut_pace->error > k_worst_pace_error)
      continue;
    paces.push_back(drive.shut_pace->ratio);
  }
  check.paced = paces.size();
  if (paces.empty()) return;
  const auto n = static_cast<double>(paces.size());
  double mean = 0.0;
  for (const double pace : paces) mean += pace / n;
  double squares = k_pace_freedom * k_pace_scatter * k_pace_scatter;
  for (const double pace : paces) squares += (pace - mean) * (pace - mean);
  const double freedom = k_pace_freedom + n - 1.0;
  const double reach = student_t_quantile(0.95, freedom) * std::sqrt(squares / freedom / n);
  check.pace = mean;
  check.pace_interval = Range{mean - reach, mean + reach};
}

std::string times(std::size_t count) {
  return count == 1 ? "once" : fmt::format("{} times", count);
}

std::string air_sign(const ProofDrive& drive, const NormalBand& band) {
  if (drive.dips_shut > 0)
    return fmt::format("the reading dips {} while the thermostat is shut", times(drive.dips_shut));
  if (drive.dips >= k_many_dips)
    return fmt::format("the reading dips {} once warm", times(drive.dips));
  const auto& usual = band.traits.amplitude_k;
  const double most_k =
      usual ? usual->value + 2.0 * usual->scatter + k_swing_beyond_k : k_swing_unknown_k;
  if (drive.amplitude_k && *drive.amplitude_k > most_k)
    return fmt::format("the reading swings by ±{:.1f} K", *drive.amplitude_k);
  const double air = drive.probability_of(Condition::air_or_low_coolant);
  if (air >= k_air_probable)
    return fmt::format("air or low coolant is {:.0f} % probable", 100.0 * air);
  return {};
}

/// Change over all drives along the straight line through them, where it is not chance.
std::optional<double> drift_of(const std::vector<ProofDrive>& drives, double least_k) {
  std::vector<double> y;
  for (const ProofDrive& drive : drives) {
    if (drive.residual_k) y.push_back(*drive.residual_k);
  }
  if (y.size() < k_least_for_drift) return std::nullopt;
  const auto n = static_cast<double>(y.size());
  const double middle = 0.5 * (n - 1.0);
  double mean = 0.0;
  for (const double value : y) mean += value / n;
  double sxy = 0.0;
  double sxx = 0.0;
  double syy = 0.0;
  for (std::size_t i = 0; i < y.size(); ++i) {
    const double x = static_cast<double>(i) - middle;
    sxy += x * (y[i] - mean);
    sxx += x * x;
    syy += (y[i] - mean) * (y[i] - mean);
  }
  const double slope = sxy / sxx;
  const double rest = std::max(1e-9, syy - slope * sxy);
  const double t = std::abs(slope) / std::sqrt(rest / (n - 2.0) / sxx);
  const double change_k = slope * (n - 1.0);
  const bool chance = t < student_t_quantile(1.0 - 0.5 * k_drift_alpha, n - 2.0);
  if (chance || std::abs(change_k) < least_k) return std::nullopt;
  return change_k;
}

} // namespace

std::string_view name_of(WarmUpOutcome outcome) {
  switch (outcome) {
  case WarmUpOutcome::unknown: return "unknown";
  case WarmUpOutcome::not_seen: return "not-seen";
  case WarmUpOutcome::open: return "open";
  case WarmUpOutcome::usual: return "usual";
  case WarmUpOutcome::slow: return "slow";
  }
  return "";
}

WarmUpCheck check_warm_ups(const std::vector<ProofDrive>& after, const NormalBand& band) {
  WarmUpCheck check;
  add_pace(check, after);
  if (!band.traits.warm_up) return check;
  const WarmUpScatter usual = scatter_of(band);
  check.allowed_ratio = 1.0 + std::max(k_slow_share, k_slow_spreads * usual.share);
  std::vector<double> ratios;
  for (const ProofDrive& drive : after) {
    const auto& warm_up = drive.warm_up;
    if (!drive.counts() || !warm_up || (!warm_up->reached_s && !warm_up->given_time)) continue;
    ++check.seen;
    if (warm_up->reached_s)
      ratios.push_back(*warm_up->reached_s / warm_up->expected_s);
    else
      ++check.endless;
  }
  if (!ratios.empty()) {
    double sum = 0.0;
    for (const double ratio : ratios) sum += ratio;
    check.ratio = sum / static_cast<double>(ratios.size());
    check.ratio_interval = interval_of(ratios, usual);
  }
  check.outcome = outcome_of(check);
  return check;
}

AirCheck check_air(const std::vector<ProofDrive>& after, const NormalBand& band, double margin_k) {
  AirCheck check;
  for (std::size_t i = 0; i < after.size(); ++i) {
    const std::string sign = air_sign(after[i], band);
    if (sign.empty()) continue;
    check.signs.push_back(after[i].source + ": " + sign);
    check.recent = check.recent || i + k_latest_drives >= after.size();
  }
  check.drift_k = drift_of(after, k_drift_share * margin_k);
  return check;
}

} // namespace coolband
