// SPDX-License-Identifier: Apache-2.0
// One pass over clock, engine speed and road speed.
#include "segment/trip_borders.hpp"

#include "condition/row_window.hpp"
#include "segment/blocks.hpp"

#include <array>
#include <cmath>

namespace coolband {

namespace {

/// Faster than this the vehicle drives, whatever its engine does (a hybrid), km/h.
constexpr float k_moving_kmh = 5.0F;

/// Follows whether the engine stands.
class Standstill {
 public:
  void begin_trip() {
    ran_ = false;
    since_s_.reset();
  }

  /// True when `see` would change nothing: the engine runs on, or its speed is not known.
  [[nodiscard]] bool stays(float rpm) const {
    return std::isnan(rpm) || (rpm >= k_standing_rpm && ran_ && !since_s_);
  }

  /// An engine speed that is not known changes nothing: NaN.
  void see(double time_s, float rpm, float speed) {
    stood_s_.reset();
    if (std::isnan(rpm)) return;
    if (rpm < k_standing_rpm && !(speed > k_moving_kmh)) {
      if (!since_s_) since_s_ = time_s;
      return;
    }
    if (ran_ && since_s_) stood_s_ = time_s - *since_s_;
    since_s_.reset();
    ran_ = true;
  }

  /// How long the engine had stood, in the row in which it runs again.
  [[nodiscard]] const std::optional<double>& restarted_after_s() const { return stood_s_; }
  /// Since when it stands.
  [[nodiscard]] const std::optional<double>& since_s() const { return since_s_; }

 private:
  bool ran_ = false;
  std::optional<double> since_s_;
  std::optional<double> stood_s_;
};

class BorderFinder {
 public:
  BorderFinder(const Recording& recording, const Conditioned& conditioned,
               const SegmentOptions& options)
      : recording_(recording), conditioned_(conditioned), options_(options),
        window_(recording, std::array{Role::rpm, Role::speed}),
        change_(recording.text_changes.begin()) {}

  std::vector<TripBorder> find() {
    for (std::size_t from = 0; from < recording_.size(); from = window_.end()) {
      window_.move_to(from);
      const auto times_s = window_.times(from, window_.end());
      const auto rpm = window_.values(Role::rpm, from, window_.end());
      for (std::size_t i = 0; i < times_s.size(); ++i) {
        if (!goes_on(from + i, times_s[i], rpm[i])) look_at(from + i);
        last_s_ = times_s[i];
      }
    }
    return std::move(borders_);
  }

 private:
  /// Nearly every row: the next of a trip, with nothing to note.
  [[nodiscard]] bool goes_on(std::size_t row, double time_s, float rpm) const {
    const double step_s = time_s - last_s_;
    const bool changes = change_ != recording_.text_changes.end() && change_->index <= row;
    return row > 0 && !changes && step_s >= 0.0 && step_s <= options_.trip_gap_s &&
           engine_.stays(conditioned_.believes(Role::rpm, rpm) ? rpm : std::nanf(""));
  }

  void look_at(std::size_t row) {
    const double time_s = window_.time_s(row);
    bool first = take_changes(row) || row == 0;
    const double step_s = row == 0 ? 0.0 : time_s - last_s_;
    first = first || step_s < 0.0 || step_s > options_.trip_gap_s;
    std::optional<double> rest_s;
    if (first && row > 0 && step_s >= 0.0) rest_s = time_s - engine_.since_s().value_or(last_s_);
    if (first) engine_.begin_trip();
    engine_.see(time_s, believed(Role::rpm, row), believed(Role::speed, row));
    if (!first && engine_.restarted_after_s().value_or(0.0) >= options_.trip_gap_s) {
      first = true;
      rest_s = engine_.restarted_after_s();
    }
    if (first) borders_.push_back({row, vehicle_changed_ ? std::nullopt : rest_s, trip_, vehicle_});
    vehicle_changed_ = false;
  }

  [[nodiscard]] float believed(Role role, std::size_t row) const {
    const float value = window_.value(role, row);
    return conditioned_.believes(role, value) ? value : std::nanf("");
  }

  /// True when a text column changes in this row.
  bool take_changes(std::size_t row) {
    bool any = false;
    for (; change_ != recording_.text_changes.end() && change_->index <= row; ++change_) {
      any = true;
      vehicle_changed_ = vehicle_changed_ || change_->role == Role::vehicle;
      (change_->role == Role::vehicle ? vehicle_ : trip_) = change_->text;
    }
    return any;
  }

  const Recording& recording_;
  const Conditioned& conditioned_;
  const SegmentOptions& options_;
  RowWindow window_;
  std::vector<TextChange>::const_iterator change_;
  Standstill engine_;
  std::vector<TripBorder> borders_;
  std::string trip_;
  std::string vehicle_;
  bool vehicle_changed_ = false;
  double last_s_ = 0.0;
};

} // namespace

std::vector<TripBorder> trip_borders(const Recording& recording, const Conditioned& conditioned,
                                     const SegmentOptions& options) {
  return BorderFinder(recording, conditioned, options).find();
}

} // namespace coolband
