// SPDX-License-Identifier: Apache-2.0
// Judgements set what stands; the alarm stands above them.
#include "diagnose/trip_under_way.hpp"

#include "diagnose/verdict.hpp"

#include <algorithm>

namespace coolband {

namespace {

constexpr double k_soonest_s = 30.0;
constexpr double k_latest_at_first_s = 60.0;
constexpr double k_latest_s = 120.0;
constexpr double k_share_at_first = 0.05;
constexpr double k_share_of_hours = 0.01;
constexpr double k_cool_for_s = 120.0;

double longest_interval_s(double trip_s) {
  return std::max(std::clamp(k_share_at_first * trip_s, k_latest_at_first_s, k_latest_s),
                  k_share_of_hours * trip_s);
}

/// What the trip itself settled at may be the heat of the fault.
double level_of(const NormalBand& band) {
  const bool own = band.origin == BandOrigin::trip;
  return own ? std::min(band.centre_c, k_usual_levels_c.high) : band.centre_c;
}

} // namespace

void TripUnderWay::hear(const Judgement& judgement, const std::optional<NormalBand>& band,
                        double trip_s) {
  judged_ = judgement.condition;
  doubted_ = false;
  const bool changed = watch_.hear({judgement.condition, judgement.action}, trip_s);
  scale_.reset();
  if (judgement.boiling.point_c)
    scale_ = HeatScale{band ? level_of(*band) : k_usual_levels_c.high, *judgement.boiling.point_c};
  const bool soon = changed || watch_.in_doubt() || interval_s_ == 0.0;
  interval_s_ = soon ? k_soonest_s : std::min(2.0 * interval_s_, longest_interval_s(trip_s));
  due_s_ = trip_s + interval_s_;
}

void TripUnderWay::raise_alarm(const Heat& heat) {
  doubted_ = judged_ == Condition::sensor_fault;
  if (doubted_) return;
  hot_ = heat;
  cool_since_s_.reset();
}

void TripUnderWay::let_cool(const Heat& heat, double now_s) {
  if (!hot_) return;
  if (!has_cooled(heat)) {
    cool_since_s_.reset();
    return;
  }
  if (!cool_since_s_) cool_since_s_ = now_s;
  if (now_s - *cool_since_s_ >= k_cool_for_s) hot_.reset();
}

/// An engine that overheats is to be stopped whatever is to blame; a cause that stands is named.
Standing TripUnderWay::now() const {
  const Standing& judged = watch_.standing();
  if (!hot_) return judged;
  const bool named =
      judged.condition != Condition::normal && judged.condition != Condition::undetermined;
  return {named ? judged.condition : Condition::overheating, Action::stop};
}

std::optional<StandingChange> TripUnderWay::news() {
  const Standing current = now();
  if (current == said_) return std::nullopt;
  const StandingChange change{said_, current};
  said_ = current;
  return change;
}

} // namespace coolband
