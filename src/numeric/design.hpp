// SPDX-License-Identifier: Apache-2.0
// The design matrix of a regression, standardised, and weighted least squares on it.
#pragma once

#include "coolband/core/error.hpp"

#include <Eigen/Core>
#include <Eigen/QR>

#include <span>
#include <string>
#include <utility>
#include <vector>

namespace coolband {

/// Columns are centred and brought to unit spread before any solving: the answer is the same, but
/// the rank no longer depends on units and a large offset (a year, kelvin) costs no digits. Without
/// an intercept nothing is centred: x and y keep their zero.
struct Design {
  Eigen::MatrixXd x;      ///< ones (with an intercept), then (column - centre) / spread; a column
                          ///< that is constant (zero, without an intercept) is all 0
  Eigen::VectorXd y;      ///< centred
  Eigen::VectorXd prior;  ///< one a row, 1 where none were given
  Eigen::VectorXd centre; ///< one a column of x; 0 for the ones
  Eigen::VectorXd spread; ///< same; 1 for the ones
  double centre_y = 0.0;
  double mean_size_y = 0.0; ///< mean |y| before centring
  double rows_used = 0.0;   ///< rows with a prior weight above 0
  bool uniform_prior = true;
  bool intercept = true;

  [[nodiscard]] double freedom() const { return rows_used - static_cast<double>(x.cols()); }

  /// From the standardised columns back to the caller's.
  [[nodiscard]] std::vector<double> raw_coefficients(const Eigen::VectorXd& beta) const;
  /// Roots of the diagonal of `variance` (X'WX)^-1 in the caller's columns.
  [[nodiscard]] std::vector<double> raw_standard_errors(const Eigen::MatrixXd& inverse_gram,
                                                        double variance) const;
};

/// A fit cannot be made of what was given.
inline Error input_error(std::string message) {
  return {ErrorKind::input, {}, std::move(message), {}, {}};
}

/// Needs at least one row; all lengths must agree.
Design make_design(std::span<const double> y, std::span<const std::vector<double>> columns,
                   std::span<const double> prior, bool intercept = true);

/// Weighted least squares by column-pivoted Householder QR; keeps its buffers between calls.
class LeastSquares {
 public:
  /// False, and no new beta, when the weighted design is rank-deficient.
  bool solve(const Design& design, const Eigen::VectorXd& weights);

  [[nodiscard]] const Eigen::VectorXd& beta() const { return beta_; }
  /// (X'WX)^-1 of the last successful solve.
  [[nodiscard]] Eigen::MatrixXd inverse_gram() const;

 private:
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr_;
  Eigen::VectorXd root_;
  Eigen::VectorXd beta_;
};

} // namespace coolband
