// SPDX-License-Identifier: Apache-2.0
// One trip while it is driven: when it is judged again, what stands, and whether it overheats.
#pragma once

#include "diagnose/heat_alarm.hpp"
#include "diagnose/standing.hpp"

#include <optional>

namespace coolband {

/// What stands from now on, and what stood before.
struct StandingChange {
  Standing before;
  Standing now;
};

class TripUnderWay {
 public:
  /// A judgement costs up to some tenths of a second, so the next comes after half a minute, then
  /// after twice the time each while nothing changes: up to 1 min while the trip is shorter than
  /// 20 min, up to 2 min from 40 min on, and up to a hundredth of a trip of hours.
  [[nodiscard]] bool is_due(double trip_s) const { return trip_s >= due_s_; }
  void hear(const Judgement& judgement, const std::optional<NormalBand>& band, double trip_s);

  /// None before the first judgement.
  [[nodiscard]] const std::optional<HeatScale>& scale() const { return scale_; }
  /// True when the last readings call for an alarm that is not raised yet.
  [[nodiscard]] bool calls_for_alarm(const Heat& heat) const {
    return !hot_ && !doubted_ && overheats(heat);
  }
  /// The alarm is raised, unless the last judgement puts the readings down to the sensor: then not
  /// before the next.
  void raise_alarm(const Heat& heat);
  /// The alarm is over once the reading has been back for two minutes.
  void let_cool(const Heat& heat, double now_s);
  [[nodiscard]] const std::optional<Heat>& alarm() const { return hot_; }
  [[nodiscard]] const Standing& said() const { return said_; }

  /// Once for every change.
  std::optional<StandingChange> news();

 private:
  [[nodiscard]] Standing now() const;

  StandingWatch watch_;
  Standing said_;
  Condition judged_ = Condition::undetermined; ///< last
  std::optional<HeatScale> scale_;
  std::optional<Heat> hot_;
  std::optional<double> cool_since_s_;
  bool doubted_ = false;
  double due_s_ = 0.0;
  double interval_s_ = 0.0;
};

} // namespace coolband
