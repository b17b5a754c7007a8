// SPDX-License-Identifier: Apache-2.0
// Pooled regression on the moments of drives, with errors that count drives.
#include "band/effects.hpp"

#include "band/condition_walk.hpp"

#include <Eigen/Cholesky>

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

/// One drive, or many that were folded.
struct Part {
  const Moments* moments;
  double looks;
  double drives;
};

/// What is asked of a condition before it may take part.
struct Candidate {
  Mover mover;
  Range bounds; ///< K per unit; beyond them no cooling system answers (see docs/methods.md)
};
constexpr std::array<Candidate, 3> k_candidates{
    {{k_movers[1], {-0.10, 0.10}}, {k_movers[2], {-6.0, 10.0}}, {k_movers[3], {-0.05, 0.30}}}};
/// A condition is learned only where most of the looks have it.
constexpr double k_most_looks = 0.8;
/// An effect earns its place when it takes this share off the variance within drives, and is three
/// standard errors from nothing in three drives or more.
constexpr double k_least_gain = 0.03;
constexpr double k_least_t = 3.0;
constexpr double k_least_weight = 3.0;
/// Another lag than 60 s is believed when it is that much more likely: 95 % of chi-squared with one
/// degree of freedom.
constexpr double k_lag_gain = 3.84;

std::vector<Part> parts_of(const std::vector<DriveSummary>& drives,
                           const std::vector<FoldedDrives>& folded) {
  std::vector<Part> parts;
  parts.reserve(folded.size() + drives.size());
  for (const FoldedDrives& sums : folded)
    parts.push_back({&sums.within, sums.looks, static_cast<double>(sums.count)});
  for (const DriveSummary& drive : drives)
    parts.push_back({&drive.moments, drive.effective_count, 1.0});
  return parts;
}

/// A pooled fit of some regressors.
struct PooledFit {
  std::vector<Regressor> regressors;
  Eigen::VectorXd slopes;
  Eigen::VectorXd errors;
  double explained = 0.0; ///< sum of squares that the fit explains, in looks
  double rest = 0.0;      ///< sum of squares that it leaves
  double looks = 0.0;
  double drives = 0.0;
};

class Pool {
 public:
  explicit Pool(std::vector<Part> parts) : parts_(std::move(parts)) {}

  [[nodiscard]] bool mostly_has(Factor factor) const {
    double with = 0.0;
    double all = 0.0;
    for (const Part& part : parts_) {
      all += part.looks;
      if (has(*part.moments, factor)) with += part.looks;
    }
    return with > 0.0 && with >= k_most_looks * all;
  }

  [[nodiscard]] double spread(Factor factor) const {
    double sum = 0.0;
    double looks = 0.0;
    for (const Part& part : parts_) {
      if (!has(*part.moments, factor)) continue;
      sum += part.looks * covariance_of(*part.moments, factor, factor);
      looks += part.looks;
    }
    return looks > 0.0 ? std::sqrt(std::max(0.0, sum / looks)) : 0.0;
  }

  /// By the drives that have the regressors, and `among` if given. None when the regressors cannot
  /// be told apart.
  [[nodiscard]] std::optional<PooledFit> fit(std::vector<Regressor> regressors,
                                             std::optional<Factor> among = std::nullopt) const;

 private:
  /// Errors that let drives differ in their slopes, but at least those of independent looks.
  void add_errors(PooledFit& fit, const Eigen::MatrixXd& inverse) const;
  [[nodiscard]] static bool has_all(const Part& part, const PooledFit& fit) {
    return std::all_of(fit.regressors.begin(), fit.regressors.end(),
                       [&](const Regressor& r) { return has(*part.moments, r); });
  }

  std::vector<Part> parts_;
};

std::optional<PooledFit> Pool::fit(std::vector<Regressor> regressors,
                                   std::optional<Factor> among) const {
  PooledFit fit;
  fit.regressors = std::move(regressors);
  const auto count = static_cast<Eigen::Index>(fit.regressors.size());
  Eigen::MatrixXd xx = Eigen::MatrixXd::Zero(count, count);
  Eigen::VectorXd xy = Eigen::VectorXd::Zero(count);
  double yy = 0.0;
  for (const Part& part : parts_) {
    if (!has_all(part, fit) || (among && !has(*part.moments, *among))) continue;
    const Normal normal = normal_equations(*part.moments, fit.regressors);
    xx += part.looks * normal.xx;
    xy += part.looks * normal.xy;
    yy += part.looks * normal.yy;
    fit.looks += part.looks;
    fit.drives += part.drives;
  }
  if (fit.looks <= 0.0) return std::nullopt;
  fit.rest = yy;
  if (count == 0) return fit;
  // Brought to unit diagonal, so that units do not decide what is singular.
  const Eigen::VectorXd unit = xx.diagonal().cwiseMax(1e-30).cwiseSqrt().cwiseInverse();
  const Eigen::LDLT<Eigen::MatrixXd> solver(unit.asDiagonal() * xx * unit.asDiagonal());
  if (solver.vectorD().minCoeff() < 1e-6) return std::nullopt;
  fit.slopes = unit.asDiagonal() * solver.solve(unit.asDiagonal() * xy);
  fit.explained = fit.slopes.dot(xy);
  fit.rest = std::max(0.0, yy - fit.explained);
  const Eigen::MatrixXd inverse =
      unit.asDiagonal() * solver.solve(Eigen::MatrixXd::Identity(count, count)) * unit.asDiagonal();
  add_errors(fit, inverse);
  return fit;
}

void Pool::add_errors(PooledFit& fit, const Eigen::MatrixXd& inverse) const {
  const double freedom =
      std::max(1.0, fit.looks - fit.drives - static_cast<double>(fit.regressors.size()));
  const Eigen::VectorXd independent = inverse.diagonal() * (fit.rest / freedom);
  Eigen::MatrixXd meat = Eigen::MatrixXd::Zero(inverse.rows(), inverse.cols());
  double looks = 0.0;
  double drives = 0.0;
  for (const Part& part : parts_) {
    if (part.drives > 1.0 || !has_all(part, fit)) continue; // folded drives have lost theirs
    const Normal normal = normal_equations(*part.moments, fit.regressors);
    const Eigen::VectorXd score = part.looks * (normal.xy - normal.xx * fit.slopes);
    meat += score * score.transpose();
    looks += part.looks;
    drives += 1.0;
  }
  Eigen::VectorXd by_drives = Eigen::VectorXd::Zero(inverse.rows());
  if (drives >= 2.0) {
    const double correction = drives / (drives - 1.0) * fit.looks / looks;
    by_drives = (inverse * meat * inverse).diagonal() * correction;
  }
  fit.errors = independent.cwiseMax(by_drives).cwiseSqrt();
}

/// Load between two of the lags it is kept for; a blend delays as a lag between them does.
struct LagChoice {
  Regressor regressor;
  double lag_s;
};

std::vector<LagChoice> lag_choices() {
  constexpr std::array<Factor, 3> k_loads{Factor::load_20s, Factor::load_60s, Factor::load_180s};
  std::vector<LagChoice> choices;
  for (std::size_t i = 0; i + 1 < k_loads.size(); ++i) {
    for (int quarter = 0; quarter < 4; ++quarter) {
      const double share = quarter / 4.0;
      choices.push_back({{k_loads[i], k_loads[i + 1], share},
                         k_load_lags_s[i] + share * (k_load_lags_s[i + 1] - k_load_lags_s[i])});
    }
  }
  choices.push_back({{Factor::load_180s, Factor::load_180s, 0.0}, k_load_lags_s.back()});
  return choices;
}

constexpr Regressor k_load_60s{Factor::load_60s, Factor::load_60s, 0.0};

/// The load at the lag that explains most; 60 s unless another is clearly better.
LagChoice best_lag(const Pool& pool) {
  LagChoice best{k_load_60s, 60.0};
  const auto usual = pool.fit({k_load_60s});
  if (!usual) return best;
  const double look = usual->rest / std::max(1.0, usual->looks - usual->drives - 1.0);
  double most = usual->explained + k_lag_gain * look;
  for (const LagChoice& choice : lag_choices()) {
    const auto fit = pool.fit({choice.regressor});
    if (!fit || fit->slopes(0) < 0.0 || fit->explained <= most) continue;
    most = fit->explained;
    best = choice;
  }
  return best;
}

bool is_withheld(Factor factor, const Withheld& withheld) {
  return factor == Factor::climb ? withheld.altitude : withheld.speed;
}

/// The fit with the condition that gains most, when one earns its place.
std::optional<PooledFit> with_one_more(const Pool& pool, const PooledFit& so_far,
                                       const Withheld& withheld) {
  std::optional<PooledFit> best;
  double least_left = 1.0 - k_least_gain;
  for (const Candidate& candidate : k_candidates) {
    const auto in = [&](const Regressor& r) { return r.factor == candidate.mover.factor; };
    if (is_withheld(candidate.mover.factor, withheld)) continue;
    if (std::any_of(so_far.regressors.begin(), so_far.regressors.end(), in)) continue;
    if (!pool.mostly_has(candidate.mover.factor) ||
        pool.spread(candidate.mover.factor) < candidate.mover.least_spread)
      continue;
    const auto without = pool.fit(so_far.regressors, candidate.mover.factor);
    auto regressors = so_far.regressors;
    regressors.push_back({candidate.mover.factor, candidate.mover.factor, 0.0});
    auto fit = pool.fit(std::move(regressors));
    if (!fit || !without || fit->drives < k_least_weight) continue;
    const Eigen::Index last = fit->slopes.size() - 1;
    const double slope = fit->slopes(last);
    const bool believable = slope >= candidate.bounds.low && slope <= candidate.bounds.high;
    const bool clear = std::abs(slope) >= k_least_t * fit->errors(last);
    const double left = fit->rest / std::max(without->rest, 1e-12);
    if (!believable || !clear || left > least_left) continue;
    least_left = left;
    best = std::move(fit);
  }
  return best;
}

LearnedEffect effect_of(const PooledFit& fit, Eigen::Index index) {
  return {fit.regressors[static_cast<std::size_t>(index)], fit.slopes(index), fit.errors(index)};
}

} // namespace

std::vector<LearnedEffect> Effects::all() const {
  std::vector<LearnedEffect> effects = others;
  if (load) effects.insert(effects.begin(), *load);
  return effects;
}

Effects learn_effects(const std::vector<DriveSummary>& drives,
                      const std::vector<FoldedDrives>& folded, const Withheld& withheld) {
  const Pool pool(parts_of(drives, folded));
  Effects effects;
  std::vector<Regressor> regressors;
  const bool loaded = !withheld.load && pool.mostly_has(Factor::load_60s) &&
                      pool.spread(Factor::load_60s) >= k_least_load_scatter_pct;
  if (loaded) {
    const LagChoice lag = best_lag(pool);
    effects.load_lag_s = lag.lag_s;
    regressors.push_back(lag.regressor);
  }
  auto fit = pool.fit(regressors);
  while (fit) {
    auto more = with_one_more(pool, *fit, withheld);
    if (!more) break;
    fit = std::move(more);
  }
  if (!fit) return effects;
  for (Eigen::Index i = 0; i < fit->slopes.size(); ++i) {
    LearnedEffect effect = effect_of(*fit, i);
    if (loaded && i == 0) {
      effect.slope = std::clamp(effect.slope, k_load_slope_bounds.low, k_load_slope_bounds.high);
      effects.load = effect;
    } else {
      effects.others.push_back(effect);
    }
  }
  return effects;
}

double variance_about(const Moments& moments, double scatter_k2, double explained_k2,
                      const Effects& effects) {
  std::vector<Regressor> regressors;
  std::vector<double> slopes;
  for (const LearnedEffect& effect : effects.all()) {
    if (!has(moments, effect.regressor)) continue;
    regressors.push_back(effect.regressor);
    slopes.push_back(effect.slope);
  }
  if (regressors.empty()) return scatter_k2 + explained_k2;
  const Normal normal = normal_equations(moments, regressors);
  const Eigen::Map<const Eigen::VectorXd> slope(slopes.data(),
                                                static_cast<Eigen::Index>(slopes.size()));
  const double gained = 2.0 * slope.dot(normal.xy) - slope.dot(normal.xx * slope);
  return std::max(0.0, scatter_k2 + explained_k2 - gained);
}

double variance_about(const DriveSummary& drive, const Effects& effects) {
  return variance_about(drive.moments, drive.scatter_c * drive.scatter_c,
                        own_fit(drive.moments).explained_k2, effects);
}

} // namespace coolband
