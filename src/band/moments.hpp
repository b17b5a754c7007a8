// SPDX-License-Identifier: Apache-2.0
// Means and covariances of a drive's factors: all that a regression needs to know of its rows.
#pragma once

#include "coolband/band/normal_band.hpp"

#include <Eigen/Core>

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace coolband {

bool has(const Moments& moments, Factor factor);
/// The factor must be there.
double mean_of(const Moments& moments, Factor factor);
double covariance_of(const Moments& moments, Factor a, Factor b);

/// Adds up weighted rows.
class MomentSum {
 public:
  explicit MomentSum(std::vector<Factor> factors);
  /// One value a factor.
  void add(std::span<const double> values, double weight);
  [[nodiscard]] double weight() const { return weight_; }
  /// Needs some weight.
  [[nodiscard]] Moments finish() const;

 private:
  // Bounded, so that a row takes no memory.
  static constexpr int k_most = static_cast<int>(k_factor_count);
  using Row = Eigen::Matrix<double, Eigen::Dynamic, 1, Eigen::ColMajor, k_most, 1>;
  using Square =
      Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::ColMajor, k_most, k_most>;

  std::vector<Factor> factors_;
  double weight_ = 0.0;
  Row mean_;        ///< updated row by row, so that large offsets cost no digits
  Square products_; ///< about the mean
};

/// Adds `weight` times the covariances of `from` to those of `sum`, for the same factors.
void add_covariance(Moments& sum, const Moments& from, double weight);

/// One column of a regression on moments: a factor, or a blend of two (a lag between two).
struct Regressor {
  Factor factor = Factor::load_60s;
  Factor other = Factor::load_60s;
  double share_of_other = 0.0;
};
bool has(const Moments& moments, const Regressor& regressor);
double mean_of(const Moments& moments, const Regressor& regressor);

/// What normal equations are made of.
struct Normal {
  Eigen::MatrixXd xx;
  Eigen::VectorXd xy;
  double yy = 0.0;
};
Normal normal_equations(const Moments& moments, std::span<const Regressor> regressors);

/// Load must vary at least this much within a drive for its effect to be seen, % (1 s.d.).
inline constexpr double k_least_load_scatter_pct = 5.0;

/// The drive's own slope on load (lag 60 s), K per %; none when load varies too little.
std::optional<double> own_load_slope(const Moments& moments);
/// What moves the coolant within a drive, and how much of it a drive must have to tell (1 s.d.).
struct Mover {
  Factor factor;
  double least_spread;
};
inline constexpr std::array<Mover, 4> k_movers{{{Factor::load_60s, k_least_load_scatter_pct},
                                                {Factor::speed, 10.0},
                                                {Factor::idle, 0.15},
                                                {Factor::climb, 5.0}}};

/// The drive's own least-squares fit on all movers that vary enough.
struct OwnFit {
  std::vector<Regressor> regressors;
  std::vector<double> slopes;
  double explained_k2 = 0.0; ///< part of the coolant's variance
};
OwnFit own_fit(const Moments& moments);

} // namespace coolband
