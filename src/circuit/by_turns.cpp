// SPDX-License-Identifier: Apache-2.0
// Mix, foretell, weigh, learn: once a block.
#include "circuit/by_turns.hpp"

#include "circuit/reduced_run.hpp"
#include "circuit/student_t.hpp"
#include "core/portable_math.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace coolband {

namespace {

/// A mode is never ruled out for good.
constexpr double k_least_probability = 1e-6;

double normalise(std::vector<double>& probability) {
  double sum = 0.0;
  for (const double p : probability) sum += p;
  for (double& p : probability) p /= sum;
  return sum;
}

void add(ReducedState& sum, const ReducedState& state, double weight) {
  sum.engine_c += weight * state.engine_c;
  sum.metal_c += weight * state.metal_c;
  sum.radiator_c += weight * state.radiator_c;
  sum.wax_c += weight * state.wax_c;
  sum.sensor_c += weight * state.sensor_c;
  sum.asked += weight * state.asked;
  sum.lift += weight * state.lift;
  sum.fan += weight * state.fan;
  sum.unknown_heat += weight * state.unknown_heat;
}

class Models {
 public:
  Models(const CircuitInputs& inputs, const CircuitValues& circuit, std::span<const Mode> modes,
         const Observer& observer)
      : inputs_(inputs), modes_(modes) {
    for (const Mode& mode : modes) {
      runs_.emplace_back(inputs, circuit, observer, mode.fault);
      probability_.push_back(mode.dwell_s);
    }
    leaves_.resize(modes.size());
    shown_.resize(modes.size());
    normalise(probability_);
    believed_ = probability_;
  }

  void mix(double length_s) {
    const std::size_t size = runs_.size();
    for (std::size_t m = 0; m < size; ++m)
      leaves_[m] = 1.0 - portable_exp(-length_s / modes_[m].dwell_s);
    std::vector<ReducedState> mixed(size);
    std::vector<double> next(size, 0.0);
    std::vector<double> next_believed(size, 0.0);
    for (std::size_t to = 0; to < size; ++to) {
      mixed[to].engine_c = 0.0;
      for (std::size_t from = 0; from < size; ++from) {
        const double goes = probability_to_go(from, to);
        add(mixed[to], runs_[from].state(), goes * probability_[from]);
        next[to] += goes * probability_[from];
        next_believed[to] += goes * believed_[from];
      }
    }
    for (std::size_t m = 0; m < size; ++m) {
      ReducedState mean;
      mean.engine_c = 0.0;
      add(mean, mixed[m], 1.0 / next[m]);
      runs_[m].set_state(mean);
    }
    probability_ = next;
    believed_ = next_believed;
  }

  void foretell(std::size_t block) {
    for (std::size_t m = 0; m < runs_.size(); ++m) shown_[m] = runs_[m].foretell(block);
  }

  void learn(std::size_t block) {
    for (std::size_t m = 0; m < runs_.size(); ++m) runs_[m].learn(block, shown_[m]);
  }

  /// Makes the modes as probable as the reading says; gives the log-likelihood of them all.
  double weigh(std::size_t block, const Weighing& weighing, double tracking_look_s) {
    double best = -std::numeric_limits<double>::infinity();
    std::vector<double> each(runs_.size());
    for (std::size_t m = 0; m < each.size(); ++m) {
      each[m] =
          log_likelihood(inputs_.coolant_c[block] - shown_[m], inputs_.length_s[block], weighing);
      best = std::max(best, each[m]);
    }
    const double follows = weighing.look_s / tracking_look_s;
    for (std::size_t m = 0; m < each.size(); ++m) {
      const double less = each[m] - best;
      believed_[m] *= portable_exp(less);
      probability_[m] =
          std::max(probability_[m] * portable_exp(follows * less), k_least_probability);
    }
    normalise(probability_);
    return best + portable_log(normalise(believed_));
  }

  [[nodiscard]] double deviation(std::size_t block) const {
    double shown_c = 0.0;
    for (std::size_t m = 0; m < shown_.size(); ++m) shown_c += probability_[m] * shown_[m];
    return inputs_.coolant_c[block] - shown_c;
  }
  [[nodiscard]] double first() const { return probability_.front(); }
  [[nodiscard]] bool began() const { return std::isnan(shown_.front()); }

 private:
  [[nodiscard]] double probability_to_go(std::size_t from, std::size_t to) const {
    if (from == to) return 1.0 - leaves_[from];
    if (modes_[from].hands_back) return to == 0 ? leaves_[from] : 0.0;
    return leaves_[from] / static_cast<double>(modes_.size() - 1);
  }

  const CircuitInputs& inputs_;
  std::span<const Mode> modes_;
  std::vector<ReducedRun> runs_;
  std::vector<double> probability_; ///< as they are followed
  std::vector<double> believed_;    ///< by what the readings count
  std::vector<double> leaves_;      ///< probability to end within the block
  std::vector<double> shown_;       ///< by each mode, in the latest block
};

} // namespace

double log_likelihood(double deviation_k, double length_s, const Weighing& weighing) {
  if (!std::isfinite(deviation_k)) return 0.0;
  return t_log_likelihood(deviation_k / weighing.misfit_k) * length_s / weighing.look_s;
}

ByTurns run_by_turns(const CircuitInputs& inputs, const CircuitValues& circuit,
                     std::span<const Mode> modes, const Observer& observer,
                     const Weighing& weighing, double tracking_look_s) {
  ByTurns result;
  Models models(inputs, circuit, modes, observer);
  std::size_t next = 0;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    if (i > 0 && inputs.begins[i] == 0 && !models.began()) models.mix(inputs.length_s[i]);
    models.foretell(i);
    const bool scored = next < inputs.scored.size() && inputs.scored[next] == i;
    if (scored) {
      ++next;
      result.log_likelihood += models.weigh(i, weighing, tracking_look_s);
      const double deviation = models.deviation(i);
      result.deviations.push_back(std::isfinite(deviation) ? deviation : 0.0);
      result.first.push_back(models.first());
    }
    if (!models.began()) models.learn(i);
  }
  return result;
}

} // namespace coolband
