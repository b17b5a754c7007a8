// SPDX-License-Identifier: Apache-2.0
// Forward-backward (Rabiner, Proc. IEEE 77 (1989) 257-286, from memory), scaled block by block.
#include "diagnose/switching.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

using States = std::vector<double>;

/// Scales to a sum of 1; gives the sum.
double normalise(States& states) {
  double sum = 0.0;
  for (const double value : states) sum += value;
  for (double& value : states) value /= sum;
  return sum;
}

class Chain {
 public:
  explicit Chain(std::span<const SwitchingState> states) : states_(states) {}

  /// Before the first block each state is as likely as it lasts.
  [[nodiscard]] States beginning() const {
    States now;
    for (const SwitchingState& state : states_) now.push_back(state.dwell_s);
    normalise(now);
    return now;
  }

  /// `now` after `length_s`; with `backwards`, what comes after seen from before.
  [[nodiscard]] States after(const States& now, double length_s, bool backwards) const {
    const auto others = static_cast<double>(now.size() - 1);
    States next(now.size(), 0.0);
    double all = 0.0;
    for (std::size_t s = 0; s < now.size(); ++s)
      all += backwards ? now[s] : leaves(s, length_s) * now[s];
    for (std::size_t s = 0; s < now.size(); ++s) {
      const double leave = leaves(s, length_s);
      const double from_others = backwards ? leave * (all - now[s]) : all - leave * now[s];
      next[s] = (1.0 - leave) * now[s] + from_others / others;
    }
    return next;
  }

  /// Likelihoods of one block; its greatest logarithm is taken out and added to `taken_out`.
  [[nodiscard]] States seen(std::size_t block, double& taken_out) const {
    double best = states_[0].log_likelihood[block];
    for (const SwitchingState& state : states_) best = std::max(best, state.log_likelihood[block]);
    States likelihoods;
    for (const SwitchingState& state : states_)
      likelihoods.push_back(std::exp(state.log_likelihood[block] - best));
    taken_out += best;
    return likelihoods;
  }

 private:
  [[nodiscard]] double leaves(std::size_t state, double length_s) const {
    return 1.0 - std::exp(-length_s / states_[state].dwell_s);
  }

  std::span<const SwitchingState> states_;
};

void multiply(States& states, const States& by) {
  for (std::size_t s = 0; s < states.size(); ++s) states[s] *= by[s];
}

} // namespace

SwitchingResult take_turns(std::span<const SwitchingState> states,
                           std::span<const double> length_s) {
  const Chain chain(states);
  SwitchingResult result;
  std::vector<States> forward;
  States now = chain.beginning();
  for (std::size_t i = 0; i < length_s.size(); ++i) {
    if (i > 0) now = chain.after(now, length_s[i], false);
    multiply(now, chain.seen(i, result.log_likelihood));
    result.log_likelihood += std::log(normalise(now));
    forward.push_back(now);
  }
  result.first.resize(length_s.size());
  States back(states.size(), 1.0);
  double not_needed = 0.0;
  for (std::size_t i = length_s.size(); i-- > 0;) {
    States both = forward[i];
    multiply(both, back);
    normalise(both);
    result.first[i] = both[0];
    multiply(back, chain.seen(i, not_needed));
    back = chain.after(back, length_s[i], true);
    normalise(back);
  }
  return result;
}

} // namespace coolband
