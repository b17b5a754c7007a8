// SPDX-License-Identifier: Apache-2.0
// Measures trips in one pass over their rows.
#include "segment/trip_meter.hpp"

#include "condition/log_unit.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "numeric/selection.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

namespace coolband {

namespace {

/// Rows beyond this many tell nothing new about the sampling period or the resolution.
constexpr std::size_t k_sample = 20000;
/// Road speed is not held over longer holes than this, s.
constexpr double k_longest_hold_s = 60.0;
/// A start is this long, s.
constexpr double k_start_s = 60.0;

std::vector<Role> number_roles() {
  std::vector<Role> roles;
  for (std::size_t r = 0; r < k_role_count; ++r) {
    const auto role = static_cast<Role>(r);
    if (role != Role::time && role != Role::trip && role != Role::vehicle) roles.push_back(role);
  }
  return roles;
}

double median_step(const Recording& recording, const Trip& trip) {
  std::vector<double> steps;
  steps.reserve(std::min(trip.last_row - trip.first_row, k_sample));
  RowWindow clock(recording, std::array<Role, 0>{});
  double before_s = recording.time_s[trip.first_row];
  for (std::size_t row = trip.first_row + 1; row <= trip.last_row && steps.size() < k_sample;
       ++row) {
    clock.move_to(row);
    const double time_s = clock.time_s(row);
    if (time_s > before_s) steps.push_back(time_s - before_s);
    before_s = time_s;
  }
  if (steps.empty()) return 0.0;
  // An even clock needs no selection.
  const double first_s = steps.front();
  const auto as_first = [first_s](double step_s) { return step_s == first_s; };
  if (std::all_of(steps.begin(), steps.end(), as_first)) return first_s;
  return median(std::move(steps));
}

/// The smallest change of the reading that is not a rarity, K; 0 of few changes, and of changes
/// wider than the steps of a coarse sensor, which may be the drive's own.
double smallest_change(const std::vector<float>& readings_c) {
  constexpr std::size_t k_least_changes = 30;
  constexpr std::size_t k_rarity = 50;
  constexpr double k_coarsest_c = 1.05;
  std::vector<double> changes(readings_c.size());
  std::size_t count = 0; // without a branch: which rows bring a new value cannot be foretold
  double before_c = std::nan("");
  for (const float reading_c : readings_c) {
    const auto now_c = static_cast<double>(reading_c);
    changes[count] = std::abs(now_c - before_c);
    count += changes[count] > 1e-3 ? 1U : 0U;
    before_c = now_c;
  }
  if (count < k_least_changes) return 0.0;
  const std::size_t rank = count / k_rarity;
  select(std::span(changes).first(count), rank);
  return changes[rank] <= k_coarsest_c ? changes[rank] : 0.0;
}

bool all_on_grid(const std::vector<float>& readings_c, double step_c, double origin_c) {
  // Adding it leaves no room for a fraction: the nearest whole number, without a call. Readings are
  // believed ones, so their steps are few.
  constexpr double k_no_fraction = 6755399441055744.0; // 1.5 * 2^52
  constexpr std::size_t k_at_once = 64;
  for (std::size_t from = 0; from < readings_c.size(); from += k_at_once) {
    const std::size_t to = std::min(readings_c.size(), from + k_at_once);
    std::uint64_t off = 0;
    for (std::size_t i = from; i < to; ++i) {
      const double steps = (static_cast<double>(readings_c[i]) - origin_c) / step_c;
      const double whole = steps + k_no_fraction - k_no_fraction;
      off += std::abs(steps - whole) * step_c < 1e-3 ? 0U : 1U;
    }
    if (off > 0) return false;
  }
  return true;
}

/// The coarsest of the usual steps that every believed reading is a multiple of. Readings converted
/// from whole °F are multiples of 1/1.8 K from -32 °F on, those from whole K lie 0.15 below whole
/// °C.
double grid_of(const std::vector<float>& readings_c) {
  struct Grid {
    double step_c;
    double origin_c;
  };
  constexpr Grid k_grids[] = {
      {1.0, 0.0}, {1.0, -0.15}, {1.0 / 1.8, -32.0 / 1.8}, {0.5, 0.0}, {0.1, 0.0}};
  for (const Grid& grid : k_grids) {
    if (all_on_grid(readings_c, grid.step_c, grid.origin_c)) return grid.step_c;
  }
  return 0.0;
}

/// Readings that were converted and rounded, or have been corrected by an offset, lie on no grid as
/// coarse as they are.
double resolution_of(const std::vector<float>& readings_c) {
  return std::max(grid_of(readings_c), smallest_change(readings_c));
}

} // namespace

TripMeter::TripMeter(const Recording& recording, const Conditioned& conditioned,
                     const SegmentOptions& options)
    : recording_(recording), conditioned_(conditioned), options_(options),
      coolant_unit_(unit_of(recording, Role::coolant)), window_(recording, number_roles()) {
  for (const Role role : number_roles()) {
    if (!recording.has(role)) continue;
    const ColumnReading* reading = reading_of(recording, role);
    if (reading == nullptr || reading->column > 0) measured_.push_back(role);
    if (conditioned.implausible[static_cast<std::size_t>(role)] > 0) doubtful_.push_back(role);
  }
  for (const Role role : {Role::rpm, Role::speed, Role::load}) {
    if (!beside_ && std::find(measured_.begin(), measured_.end(), role) != measured_.end())
      beside_ = role;
  }
  for (std::size_t c = 0; c < k_block_channels.size(); ++c) {
    if (recording.has(k_block_channels[c].role)) channels_.push_back(c);
  }
}

Trip TripMeter::measure(const TripBorder& border, std::size_t last_row) {
  Trip trip;
  trip.first_row = border.first_row;
  trip.last_row = last_row;
  trip.rest_s = border.rest_s;
  trip.trip_id = border.trip_id;
  trip.vehicle_id = border.vehicle_id;
  trip.start_s = recording_.time_s[trip.first_row];
  trip.duration_s = recording_.time_s[trip.last_row] - trip.start_s;
  trip.sample_period_s = median_step(recording_, trip);
  begin(trip);
  BlockGatherer blocks(options_, trip);
  // Where no speed is held until the next row, no way is measured.
  if (recording_.has(Role::speed) && trip.sample_period_s <= k_longest_hold_s)
    trip.distance_km = 0.0;
  for (std::size_t from = trip.first_row; from <= trip.last_row;) {
    window_.move_to(from);
    const std::size_t to = std::min(trip.last_row + 1, window_.end());
    add_rows(trip, from, to, blocks);
    from = to;
  }
  trip.blocks = blocks.finish();
  trip.resolution_c = resolution_of(good_);
  trip.sanity.cold_soak = cold_soak(first_, border.rest_s);
  finish(trip);
  return trip;
}

void TripMeter::begin(const Trip& trip) {
  odd_ = {};
  refresh_.assign(measured_.size(), {});
  gaps_ = {};
  first_ = {};
  good_.clear();
  last_speed_ = std::nanf("");
  last_s_ = trip.start_s;
}

void TripMeter::add_rows(Trip& trip, std::size_t from, std::size_t to, BlockGatherer& blocks) {
  add_clock(trip, from, to);
  if (trip.distance_km) add_distance(trip, from, to);
  blocks.add_rows(from, since_start_s_);
  add_coolant(trip, from, to);
  if (beside_) watch_gaps(from, to);
  blocks.add_coolant(coolant_c_);
  for (const std::size_t channel : channels_) add_channel(channel, from, to, blocks);
  for (const Role role : doubtful_) count_odd(role, from, to);
  if (since_start_s_.front() <= k_start_s) add_first(from, to);
  watch_refresh(trip, from, to);
}

void TripMeter::add_clock(Trip& trip, std::size_t from, std::size_t to) {
  since_start_s_.resize(to - from);
  steps_s_.resize(to - from);
  for (std::size_t row = from; row < to; ++row) {
    const double time_s = window_.time_s(row);
    since_start_s_[row - from] = time_s - trip.start_s;
    steps_s_[row - from] = time_s - last_s_;
    trip.longest_gap_s = std::max(trip.longest_gap_s, steps_s_[row - from]);
    last_s_ = time_s;
  }
}

void TripMeter::add_distance(Trip& trip, std::size_t from, std::size_t to) {
  for (std::size_t row = from; row < to; ++row) {
    const double step_s = steps_s_[row - from];
    if (!std::isnan(last_speed_) && step_s <= k_longest_hold_s)
      *trip.distance_km += static_cast<double>(last_speed_) * step_s / 3600.0;
    const float speed = window_.value(Role::speed, row);
    if (conditioned_.believes(Role::speed, speed)) last_speed_ = speed;
  }
}

void TripMeter::add_coolant(Trip& trip, std::size_t from, std::size_t to) {
  const std::span<const float> values = window_.values(Role::coolant, from, to);
  coolant_c_.assign(values.begin(), values.end());
  for (std::size_t row = from; row < to; ++row) {
    const Quality quality = conditioned_.coolant[row];
    if (quality == Quality::good) {
      ++trip.usable_rows;
      if (row < trip.first_row + k_sample) good_.push_back(values[row - from]);
      continue;
    }
    coolant_c_[row - from] = std::nanf("");
    if (quality != Quality::missing)
      count_odd(Role::coolant, oddity_of(quality, values[row - from], coolant_unit_), row);
  }
}

void TripMeter::watch_gaps(std::size_t from, std::size_t to) {
  const std::span<const float> beside = window_.values(*beside_, from, to);
  for (std::size_t row = from; row < to; ++row)
    gaps_.add(row, since_start_s_[row - from], conditioned_.coolant[row] != Quality::missing,
              !std::isnan(beside[row - from]));
}

void TripMeter::add_channel(std::size_t channel, std::size_t from, std::size_t to,
                            BlockGatherer& blocks) {
  const Role role = k_block_channels[channel].role;
  const std::span<const float> values = window_.values(role, from, to);
  if (conditioned_.implausible[static_cast<std::size_t>(role)] == 0) {
    blocks.add_channel(channel, values);
    return;
  }
  believed_.assign(values.begin(), values.end());
  for (float& value : believed_) {
    if (!conditioned_.believes(role, value)) value = std::nanf("");
  }
  blocks.add_channel(channel, believed_);
}

/// The first readings of the start; of outside and intake air from sensors only.
void TripMeter::add_first(std::size_t from, std::size_t to) {
  const auto take = [&](Role role, std::size_t row, std::optional<double>& into) {
    const bool measured = std::find(measured_.begin(), measured_.end(), role) != measured_.end();
    const float value = window_.value(role, row);
    if (!into && measured && conditioned_.believes(role, value)) into = static_cast<double>(value);
  };
  for (std::size_t row = from; row < to && since_start_s_[row - from] <= k_start_s; ++row) {
    const float coolant_c = coolant_c_[row - from];
    if (!first_.coolant_c && !std::isnan(coolant_c))
      first_.coolant_c = static_cast<double>(coolant_c);
    take(Role::ambient, row, first_.ambient_c);
    take(Role::intake, row, first_.intake_c);
  }
}

void TripMeter::count_odd(Role role, std::size_t from, std::size_t to) {
  for (std::size_t row = from; row < to; ++row) {
    const float value = window_.value(role, row);
    if (std::isnan(value) || conditioned_.believes(role, value)) continue;
    count_odd(role, oddity_of(role, value, unit_of(recording_, role)), row);
  }
}

void TripMeter::count_odd(Role role, Oddity oddity, std::size_t row) {
  OddCount& count = odd_[static_cast<std::size_t>(role)][static_cast<std::size_t>(oddity)];
  if (count.rows++ > 0) return;
  count.first_row = row;
  count.value = static_cast<double>(window_.value(role, row));
}

void TripMeter::watch_refresh(const Trip& trip, std::size_t from, std::size_t to) {
  to = std::min(to, trip.first_row + k_sample);
  if (from >= to) return;
  const std::span<const double> times_s = window_.times(from, to);
  for (std::size_t i = 0; i < measured_.size(); ++i) {
    const bool coolant = measured_[i] == Role::coolant;
    refresh_[i].add(times_s, coolant ? std::span<const float>(coolant_c_).first(to - from)
                                     : window_.values(measured_[i], from, to));
  }
}

void TripMeter::finish(Trip& trip) {
  for (std::size_t r = 0; r < k_role_count; ++r) {
    for (std::size_t o = 0; o < k_oddity_count; ++o) {
      const OddCount& count = odd_[r][o];
      if (count.rows == 0) continue;
      trip.sanity.odd.push_back(
          {static_cast<Role>(r), static_cast<Oddity>(o), count.rows, count.first_row, count.value});
    }
  }
  for (std::size_t i = 0; i < measured_.size(); ++i) {
    if (const auto refresh = refresh_[i].estimate(measured_[i], trip.sample_period_s))
      trip.sanity.refresh.push_back(*refresh);
  }
  trip.sanity.missing = gaps_.found();
  take_events(trip);
}

/// Events stand in row order, as the trips do.
void TripMeter::take_events(Trip& trip) {
  const auto& events = conditioned_.events;
  while (next_event_ < events.size() && events[next_event_].first_row < trip.first_row)
    ++next_event_;
  while (next_event_ < events.size() && events[next_event_].first_row <= trip.last_row)
    trip.sensor_events.push_back(events[next_event_++]);
}

} // namespace coolband
