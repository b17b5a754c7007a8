// SPDX-License-Identifier: Apache-2.0
// The order of checks: p/c, the rule for the cheapest sequence of tests (Mitten, J. Industrial
// Engineering 11 (1960), from memory); it is exact where each check looks for another cause.
#include "repair/confirming_checks.hpp"

#include <algorithm>
#include <numeric>

namespace coolband {

namespace {

constexpr auto k_normal = static_cast<std::size_t>(Condition::normal);

constexpr auto k_air_or_leak = static_cast<std::size_t>(Condition::air_or_low_coolant);
/// Where coolant is lost or air is in, a cylinder that blows into the coolant is the costly case
/// that no other check rules out (common practice, no source).
constexpr double k_worth_a_gas_test = 0.25;

/// Least and most that is taken off a ranking (common practice, no source).
constexpr double k_least_softening = 0.05;
constexpr double k_most_softening = 0.5;

CauseShares ranked_faults(const ReportedTrip& trip) {
  CauseShares shares{};
  for (const RankedCause& cause : trip.causes) {
    const auto c = static_cast<std::size_t>(cause.condition);
    if (c != k_normal && c < k_cause_count) shares[c] = cause.probability;
  }
  const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
  if (sum <= 0.0) return {};
  for (double& share : shares) share /= sum;
  return shares;
}

bool is_named_fault(Condition condition) {
  return condition != Condition::normal && static_cast<std::size_t>(condition) < k_cause_count;
}

double settled_by(const ConfirmingCheck& check, const CauseShares& open) {
  return std::inner_product(open.begin(), open.end(), check.finds.begin(), 0.0);
}

double cost_of(const ConfirmingCheck& check, bool engine_hot) {
  const bool must_cool =
      engine_hot && (check.engine == EngineState::cold || check.engine == EngineState::warming);
  const bool must_heat = !engine_hot && check.engine == EngineState::hot;
  return check.minutes + check.tool_minutes + (must_cool ? k_cool_down_min : 0.0) +
         (must_heat ? k_heat_up_min : 0.0);
}

bool leaves_hot(const ConfirmingCheck& check, bool engine_hot) {
  if (check.engine == EngineState::any) return engine_hot;
  return check.engine != EngineState::cold;
}

/// Takes checks off a list, one by one, into a plan.
class Sequence {
 public:
  Sequence(std::vector<ConfirmingCheck> rest, const CauseShares& open)
      : rest_(std::move(rest)), open_(open) {}

  void take(std::vector<ConfirmingCheck>::iterator check) {
    plan_.checks.push_back({*check, settled_by(*check, open_)});
    for (std::size_t c = 0; c < open_.size(); ++c) open_[c] *= 1.0 - check->finds[c];
    hot_ = leaves_hot(*check, hot_);
    rest_.erase(check);
  }

  void take_first(std::string_view id) {
    const auto found = std::find_if(rest_.begin(), rest_.end(),
                                    [&](const ConfirmingCheck& check) { return check.id == id; });
    if (found != rest_.end()) take(found);
  }

  void take_best(std::size_t most) {
    while (!rest_.empty() && plan_.checks.size() < most) {
      const auto best = std::max_element(rest_.begin(), rest_.end(),
                                         [&](auto& a, auto& b) { return worth(a) < worth(b); });
      if (worth(*best) <= 0.0) return;
      take(best);
    }
  }

  CheckPlan finished() {
    plan_.left_open = std::accumulate(open_.begin(), open_.end(), 0.0);
    return std::move(plan_);
  }

 private:
  /// Doubt settled per minute; 0 for what hardly settles any.
  [[nodiscard]] double worth(const ConfirmingCheck& check) const {
    const double settled = settled_by(check, open_);
    return settled < k_least_settled ? 0.0 : settled / cost_of(check, hot_);
  }

  std::vector<ConfirmingCheck> rest_;
  CauseShares open_;
  bool hot_ = false;
  CheckPlan plan_;
};

} // namespace

std::string_view name_of(EngineState state) {
  switch (state) {
  case EngineState::any: return "any";
  case EngineState::cold: return "cold";
  case EngineState::warming: return "warming";
  case EngineState::hot: return "hot";
  }
  return "any";
}

CauseShares fault_shares(const ReportedTrip& trip) {
  CauseShares shares = ranked_faults(trip);
  const double top = *std::max_element(shares.begin(), shares.end());
  if (top <= 0.0) return shares;
  const double softening =
      is_named_fault(trip.condition)
          ? std::clamp(1.0 - trip.confidence / top, k_least_softening, k_most_softening)
          : k_least_softening;
  const double even = 1.0 / static_cast<double>(k_cause_count - 1);
  for (std::size_t c = 0; c < shares.size(); ++c) {
    if (c != k_normal) shares[c] = (1.0 - softening) * shares[c] + softening * even;
  }
  return shares;
}

CheckPlan order_checks(std::vector<ConfirmingCheck> catalogue, const CauseShares& shares) {
  Sequence sequence(std::move(catalogue), shares);
  sequence.take_first("level-cold");
  const bool gas = shares[k_air_or_leak] >= k_worth_a_gas_test;
  sequence.take_best(gas ? k_most_checks - 1 : k_most_checks);
  if (gas) sequence.take_first("gas-test");
  return sequence.finished();
}

std::vector<ConfirmingCheck> free_checks(const JobFacts& facts) {
  constexpr double k_few_minutes = 5.0;
  std::vector<ConfirmingCheck> checks = check_catalogue(facts);
  std::erase_if(checks, [](const ConfirmingCheck& check) {
    return check.engine != EngineState::cold || check.minutes > k_few_minutes ||
           check.tool_minutes > 0.0;
  });
  return checks;
}

} // namespace coolband
