// SPDX-License-Identifier: Apache-2.0
// A small state machine: off, warming up, settling after a restart, warm.
#include "segment/phases.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/selection.hpp"
#include "segment/blocks.hpp"
#include "segment/cool_down.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// The thermostat has taken over once the reading is this close below the level, K. It is the
/// published tolerance of the start of opening (TM 5-3825-229-14&P: within 3 °C of nominal).
constexpr double k_arrival_k = 3.0;
/// A start this far below the level is a cold start, K.
constexpr double k_cold_start_k = 10.0;
/// An engine has had its time to warm up after this much running, s, if it no longer gets warmer
/// (about 10 minutes: common practice, no source), and at the latest after `k_longest_warm_up_s`.
constexpr double k_usual_warm_up_s = 600.0;
constexpr double k_longest_warm_up_s = 1800.0;
/// Heat soak after a stop is gone by then, s (common practice, no source).
constexpr double k_settling_s = 300.0;
/// Still rising means at least 1 K from one window to the next, i.e. 0.5 K/min.
constexpr double k_window_s = 120.0;
constexpr double k_rise_k = 1.0;

/// A hole is a stop only where so many rows would have been in it.
constexpr double k_rows_missing = 3.0;

class PhaseMachine {
 public:
  PhaseMachine(Trip& trip, const SegmentOptions& options)
      : trip_(trip), blocks_(trip.blocks), options_(options),
        stop_s_(std::max(options.stop_s, k_rows_missing * trip.sample_period_s)) {}

  void run() {
    level_ = options_.regulating_c ? options_.regulating_c : own_level();
    if (!level_) return;
    for (std::size_t i = 0; i < blocks_.size(); ++i) blocks_.phase[i] = step(i);
    mark_cool_downs(blocks_, *level_);
  }

 private:
  [[nodiscard]] double coolant(std::size_t i) const {
    return static_cast<double>(blocks_.coolant[i]);
  }

  /// A level near the top of the trip: the middle of its upper third.
  [[nodiscard]] std::optional<double> own_level() const {
    std::vector<double> known;
    for (std::size_t i = 0; i < blocks_.size(); ++i) {
      if (!std::isnan(coolant(i))) known.push_back(coolant(i));
    }
    if (known.empty()) return std::nullopt;
    return quantile(std::move(known), 5.0 / 6.0);
  }

  Phase step(std::size_t i) {
    if (blocks_.rpm[i] < k_standing_rpm) return stand(i);
    if (std::isnan(coolant(i))) return state_;
    const double hole_s = i == 0 ? 0.0 : blocks_.start_s[i] - blocks_.end_s[i - 1];
    if (!started_ || hole_s >= stop_s_ || stood_s_ >= stop_s_) start(i);
    stood_s_ = 0.0;
    if (state_ == Phase::warm_up && warmed_up(i)) arrive(i);
    if (state_ == Phase::restart && settled(i)) state_ = Phase::warm;
    return state_;
  }

  Phase stand(std::size_t i) {
    stood_s_ += blocks_.end_s[i] - (i == 0 ? 0.0 : blocks_.end_s[i - 1]);
    return Phase::off;
  }

  void start(std::size_t i) {
    started_ = true;
    since_s_ = blocks_.start_s[i];
    const bool cold = coolant(i) < *level_ - k_cold_start_k;
    state_ = cold ? Phase::warm_up : Phase::restart;
    if (cold) trip_.warm_ups.push_back({since_s_, coolant(i), {}, {}, {}, {}, {}});
  }

  void arrive(std::size_t i) {
    state_ = Phase::warm;
    if (coolant(i) >= *level_ - k_arrival_k)
      trip_.warm_ups.back().reached_s = blocks_.end_s[i] - since_s_;
  }

  [[nodiscard]] bool warmed_up(std::size_t i) {
    const double running_s = blocks_.start_s[i] - since_s_;
    if (arrived(i) || running_s >= k_longest_warm_up_s) return true;
    return running_s >= k_usual_warm_up_s && levelled_off(i) && !arrives_after(i);
  }

  [[nodiscard]] bool arrived(std::size_t i) {
    return coolant(i) >= *level_ - k_arrival_k && (options_.regulating_c || levelled_off(i));
  }

  /// An engine that comes to its level in good time was warming up until then: a rest on the way
  /// (an idle, a descent) is not the level at which it runs.
  [[nodiscard]] bool arrives_after(std::size_t from) {
    for (std::size_t i = from + 1; i < blocks_.size(); ++i) {
      if (blocks_.start_s[i] - since_s_ >= k_longest_warm_up_s) return false;
      if (blocks_.start_s[i] - blocks_.end_s[i - 1] >= stop_s_) return false;
      if (!std::isnan(coolant(i)) && arrived(i)) return true;
    }
    return false;
  }

  [[nodiscard]] bool settled(std::size_t i) const {
    return std::abs(coolant(i) - *level_) <= k_arrival_k ||
           blocks_.start_s[i] - since_s_ >= k_settling_s;
  }

  /// The window after this one is hardly warmer. Too little log ahead to tell is not level.
  [[nodiscard]] bool levelled_off(std::size_t from) {
    const double last_s = blocks_.end_s.back() - blocks_.start_s[from];
    if (last_s < 1.5 * k_window_s) return false;
    now_.clear();
    next_.clear();
    for (std::size_t i = from; i < blocks_.size(); ++i) {
      const double ahead_s = blocks_.start_s[i] - blocks_.start_s[from];
      if (ahead_s >= 2.0 * k_window_s) break;
      if (!std::isnan(coolant(i))) (ahead_s < k_window_s ? now_ : next_).push_back(coolant(i));
    }
    if (now_.empty() || next_.empty()) return false;
    return quantile_of(next_, 0.5) - quantile_of(now_, 0.5) < k_rise_k;
  }

  Trip& trip_;
  Blocks& blocks_;
  const SegmentOptions& options_;
  double stop_s_;
  std::optional<double> level_;
  Phase state_ = Phase::warm_up;
  bool started_ = false;
  double since_s_ = 0.0;
  double stood_s_ = 0.0;
  std::vector<double> now_; ///< readings of two windows: room that is used again
  std::vector<double> next_;
};

/// Median over the warm blocks, if there are any.
std::optional<double> settled_level(const Blocks& blocks) {
  std::vector<double> warm;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.phase[i] == Phase::warm && !std::isnan(blocks.coolant[i])) {
      warm.push_back(static_cast<double>(blocks.coolant[i]));
    }
  }
  if (warm.empty()) return std::nullopt;
  return median(std::move(warm));
}

} // namespace

void assign_phases(Trip& trip, const SegmentOptions& options) {
  trip.warm_ups.clear();
  for (Phase& phase : trip.blocks.phase) phase = Phase::warm_up;
  PhaseMachine(trip, options).run();
  trip.level_c = settled_level(trip.blocks);
}

} // namespace coolband
