// SPDX-License-Identifier: Apache-2.0
// The S-estimate of regression after the fast-S scheme of Salibian-Barrera & Yohai, Journal of
// Computational and Graphical Statistics 15 (2006) 414-427 (from memory).
#include "numeric/s_estimate.hpp"

#include "core/portable_math.hpp"
#include "numeric/find_root.hpp"
#include "numeric/splitmix.hpp"

#include <Eigen/Cholesky>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>
#include <vector>

namespace coolband {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double k_most_subsets = 1000.0; // up to here all of them are tried
constexpr Index k_search_rows = 2000;
constexpr std::size_t k_finalists = 5;
constexpr int k_first_steps = 2;
// A row whose part outside the span of the rows before is smaller says nothing new.
constexpr double k_independent = 1e-7;

struct Candidate {
  VectorXd beta;
  double scale = std::numeric_limits<double>::infinity();
};

// What Σ w ρ is held at. The factor 1 - p/n makes up for the fitted coefficients.
double target_of(const Design& design) {
  const double lost = static_cast<double>(design.x.cols()) / design.rows_used;
  return 0.5 * design.prior.sum() * (1.0 - lost);
}

double total_rho(const Design& design, const VectorXd& residuals, double scale) {
  const double reach = 1.0 / scale;
  double sum = 0.0;
  for (Index i = 0; i < residuals.size(); ++i)
    sum += design.prior[i] * bisquare_rho(residuals[i] * reach, k_s_tuning);
  return sum;
}

VectorXd weights_at(const VectorXd& residuals, double scale) {
  const LossShape shape{Loss::bisquare, k_s_tuning};
  return residuals.unaryExpr([&](double r) { return shape.weight(r / scale); });
}

// The scale, or below the least one a value that still falls with the loss, so that the better of
// two solutions is told from it.
double graded_scale(const Design& design, const VectorXd& residuals, double rounding,
                    double least) {
  if (least > 0.0) {
    const double share = total_rho(design, residuals, least) / target_of(design);
    if (share <= 1.0) return least * share;
  }
  return bisquare_scale(design, residuals, rounding);
}

// One approximate step down: a fixed-point step of the scale, then least squares by the normal
// equations, which is enough for a start.
bool step_down(const Design& design, VectorXd& beta, VectorXd& residuals, double& scale) {
  scale *= std::sqrt(total_rho(design, residuals, scale) / target_of(design));
  if (!(scale > 0.0)) return false;
  const VectorXd weights = design.prior.cwiseProduct(weights_at(residuals, scale));
  const MatrixXd weighted = weights.asDiagonal() * design.x;
  const Eigen::LLT<MatrixXd> cholesky(design.x.transpose() * weighted);
  if (cholesky.info() != Eigen::Success) return false;
  const VectorXd next = cholesky.solve(weighted.transpose() * design.y);
  if (!next.allFinite()) return false;
  beta = next;
  residuals.noalias() = design.y - design.x * beta;
  return true;
}

// The few best solutions so far, best first; among equals the one that came first.
class Finalists {
 public:
  Finalists(const Design& design, double least_scale)
      : design_(design), target_(target_of(design)), least_scale_(least_scale) {}

  void offer(VectorXd beta) {
    VectorXd residuals = design_.y - design_.x * beta;
    std::vector<double> sizes;
    double scale = residual_scale(design_, residuals, sizes);
    for (int i = 0; i < k_first_steps && scale > rounding_level(design_, beta); ++i)
      if (!step_down(design_, beta, residuals, scale)) break;
    if (full() && !beats_last(residuals)) return;
    const double graded =
        graded_scale(design_, residuals, rounding_level(design_, beta), least_scale_);
    const auto place =
        std::upper_bound(best_.begin(), best_.end(), graded,
                         [](double value, const Candidate& c) { return value < c.scale; });
    best_.insert(place, {std::move(beta), graded});
    if (best_.size() > k_finalists) best_.pop_back();
  }

  [[nodiscard]] const std::vector<Candidate>& best() const { return best_; }

 private:
  [[nodiscard]] bool full() const { return best_.size() == k_finalists; }
  // Saves the exact scale of most: the loss at the scale to beat tells on which side it lies.
  [[nodiscard]] bool beats_last(const VectorXd& residuals) const {
    const double last = std::max(best_.back().scale, least_scale_);
    return last > 0.0 && total_rho(design_, residuals, last) < target_;
  }

  const Design& design_;
  double target_;
  double least_scale_;
  std::vector<Candidate> best_;
};

// Draws rows by their prior weight.
class RowDraw {
 public:
  RowDraw(const Design& design, std::uint64_t seed) : random_(seed) {
    up_to_.resize(static_cast<std::size_t>(design.prior.size()));
    std::partial_sum(design.prior.begin(), design.prior.end(), up_to_.begin());
  }

  // `share` of all weight lies before it.
  [[nodiscard]] Index at(double share) const {
    const auto place = std::upper_bound(up_to_.begin(), up_to_.end(), share * up_to_.back());
    return std::min<Index>(place - up_to_.begin(), static_cast<Index>(up_to_.size()) - 1);
  }
  Index next() { return at(random_.share()); }
  SplitMix& random() { return random_; }

 private:
  SplitMix random_;
  std::vector<double> up_to_;
};

// Rows that determine every coefficient: those that repeat the earlier ones are passed over, which
// matters where a column takes few values.
class Basis {
 public:
  explicit Basis(const Design& design) : design_(design) {}

  void offer(Index row) {
    VectorXd rest = design_.x.row(row);
    const double size = rest.norm();
    for (const VectorXd& direction : directions_) rest -= rest.dot(direction) * direction;
    if (!(rest.norm() > k_independent * size)) return;
    directions_.emplace_back(rest.normalized());
    rows_.push_back(row);
  }

  [[nodiscard]] bool complete() const {
    return static_cast<Index>(rows_.size()) == design_.x.cols();
  }
  [[nodiscard]] VectorXd solve() const {
    return design_.x(rows_, Eigen::all).partialPivLu().solve(design_.y(rows_));
  }

 private:
  const Design& design_;
  std::vector<VectorXd> directions_;
  std::vector<Index> rows_;
};

void offer_random(const Design& design, RowDraw& draw, Finalists& finalists) {
  Basis basis(design);
  const Index patience = 20 * design.x.cols();
  for (Index i = 0; i < patience && !basis.complete(); ++i) basis.offer(draw.next());
  // What is missing is rare: the rows in turn, from anywhere.
  const Index rows = design.x.rows();
  const Index start = draw.next();
  for (Index i = 0; i < rows && !basis.complete(); ++i) {
    const Index row = (start + i) % rows;
    if (design.prior[row] > 0.0) basis.offer(row);
  }
  if (!basis.complete()) return;
  if (VectorXd beta = basis.solve(); beta.allFinite()) finalists.offer(std::move(beta));
}

double subset_count(double rows, Index size) {
  double count = 1.0;
  for (Index i = 0; i < size; ++i)
    count *= (rows - static_cast<double>(i)) / static_cast<double>(i + 1);
  return count;
}

// The next of all ascending choices; false after the last.
bool advance(std::vector<std::size_t>& choice, std::size_t count) {
  for (std::size_t i = choice.size(); i-- > 0;) {
    if (choice[i] + (choice.size() - i) >= count) continue;
    ++choice[i];
    for (std::size_t k = i + 1; k < choice.size(); ++k) choice[k] = choice[k - 1] + 1;
    return true;
  }
  return false;
}

void offer_all(const Design& design, Finalists& finalists) {
  std::vector<Index> used;
  for (Index row = 0; row < design.x.rows(); ++row)
    if (design.prior[row] > 0.0) used.push_back(row);
  std::vector<std::size_t> choice(static_cast<std::size_t>(design.x.cols()));
  std::iota(choice.begin(), choice.end(), std::size_t{0});
  do {
    Basis basis(design);
    for (const std::size_t i : choice) basis.offer(used[i]);
    if (!basis.complete()) continue;
    if (VectorXd beta = basis.solve(); beta.allFinite()) finalists.offer(std::move(beta));
  } while (advance(choice, used.size()));
}

// One row from every equal share of the weight; rows lie in order of y, so all heights are kept.
Design thin(const Design& design, RowDraw& draw) {
  std::vector<Index> rows;
  for (Index i = 0; i < k_search_rows; ++i)
    rows.push_back(draw.at((static_cast<double>(i) + draw.random().share()) / k_search_rows));
  Design thinned = design;
  thinned.x = design.x(rows, Eigen::all);
  thinned.y = design.y(rows);
  thinned.prior = VectorXd::Ones(k_search_rows);
  thinned.rows_used = static_cast<double>(k_search_rows);
  thinned.uniform_prior = true;
  return thinned;
}

// Down to the local minimum: the exact scale of the residuals, then least squares with the weights
// at it, until nothing moves. False when the rows left do not determine every coefficient.
bool descend(const Design& design, LeastSquares& solver, const SSearch& search, double tolerance,
             Solution& solution) {
  solution.termination = Termination::iteration_limit;
  for (int i = 0; i < search.max_iterations; ++i) {
    const double rounding = rounding_level(design, solution.beta);
    solution.scale =
        std::max(bisquare_scale(design, solution.residuals, rounding), search.least_scale);
    if (solution.scale == 0.0) {
      finish_exact(design, solution);
      return true;
    }
    solution.weights = weights_at(solution.residuals, solution.scale);
    if (!solver.solve(design, design.prior.cwiseProduct(solution.weights))) return false;
    const VectorXd step = solver.beta() - solution.beta;
    solution.beta = solver.beta();
    solution.residuals.noalias() = design.y - design.x * solution.beta;
    ++solution.iterations;
    if (settled(step, solution, tolerance)) {
      solution.termination = Termination::converged;
      break;
    }
  }
  const double rounding = rounding_level(design, solution.beta);
  solution.scale =
      std::max(bisquare_scale(design, solution.residuals, rounding), search.least_scale);
  if (solution.scale == 0.0) finish_exact(design, solution);
  return true;
}

Solution start_from(const Design& design, const VectorXd& beta) {
  Solution solution;
  solution.beta = beta;
  solution.residuals = design.y - design.x * beta;
  solution.weights = VectorXd::Ones(design.y.size());
  return solution;
}

std::vector<Candidate> find_starts(const Design& design, const VectorXd& plain,
                                   const SSearch& search) {
  RowDraw draw(design, search.seed);
  const bool many = design.x.rows() > k_search_rows;
  const Design& reduced = many ? thin(design, draw) : design;
  Finalists finalists(reduced, search.least_scale);
  if (subset_count(reduced.rows_used, reduced.x.cols()) <= k_most_subsets) {
    offer_all(reduced, finalists);
  } else {
    RowDraw rows(reduced, draw.random().bits());
    for (int i = 0; i < search.subsets; ++i) offer_random(reduced, rows, finalists);
  }
  std::vector<Candidate> starts = finalists.best();
  starts.push_back({plain}); // the 2000 may lack the only row that tells of a column
  return starts;
}

} // namespace

double bisquare_scale(const Design& design, const VectorXd& residuals, double rounding) {
  const double target = target_of(design);
  double scattered = 0.0;
  double largest = 0.0;
  for (Index i = 0; i < residuals.size(); ++i) {
    if (!(std::abs(residuals[i]) > rounding)) continue;
    scattered += design.prior[i];
    if (design.prior[i] > 0.0) largest = std::max(largest, std::abs(residuals[i]));
  }
  if (!(design.freedom() > 0.0) || scattered <= target * (1.0 + 1e-12)) return 0.0;
  const auto excess = [&](double log_scale) {
    return total_rho(design, residuals, portable_exp(log_scale)) - target;
  };
  std::vector<double> sizes;
  double low = portable_log(std::max(residual_scale(design, residuals, sizes), rounding));
  if (!std::isfinite(low)) low = portable_log(largest);
  double high = low;
  // Falling in the scale, above the target near 0 and below it from afar.
  for (double step = 0.1; excess(low) < 0.0 && step < 1e3; step *= 2.0) low -= step;
  for (double step = 0.1; excess(high) > 0.0 && step < 1e3; step *= 2.0) high += step;
  return portable_exp(find_root(excess, low, high, 1e-13));
}

std::optional<Solution> s_estimate(const Design& design, const VectorXd& plain,
                                   const SSearch& search) {
  LeastSquares solver;
  std::optional<Solution> best;
  double best_scale = std::numeric_limits<double>::infinity();
  for (const Candidate& candidate : find_starts(design, plain, search)) {
    Solution solution = start_from(design, candidate.beta);
    if (!descend(design, solver, search, std::max(search.tolerance, 1e-5), solution)) continue;
    const double scale = graded_scale(design, solution.residuals,
                                      rounding_level(design, solution.beta), search.least_scale);
    if (!(scale < best_scale)) continue;
    best_scale = scale;
    best = std::move(solution);
  }
  if (!best || best->termination == Termination::exact_fit) return best;
  if (!descend(design, solver, search, search.tolerance, *best)) return std::nullopt;
  return best;
}

} // namespace coolband
