// SPDX-License-Identifier: Apache-2.0
// A merge by time, drive by drive; each series is in order already.
#include "import/series.hpp"

#include "import/clock_units.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

// A turn of the polling is not longer than this, however slow the coolant is logged.
constexpr double k_longest_turn_s = 10.0;
constexpr std::size_t k_steps_looked_at = 5000;

/// Middle step of a series between different times; 1 s where there is none.
double usual_step_s(const Series& series) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < std::min(series.samples.size(), k_steps_looked_at); ++i) {
    const double step_s = series.samples[i].time_s - series.samples[i - 1].time_s;
    if (step_s > 0.0) steps.push_back(step_s);
  }
  if (steps.empty()) return 1.0;
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return *middle;
}

struct Cursor {
  Role role = Role::coolant;
  const Series* series = nullptr;
  std::size_t next = 0;
  std::size_t end = 0;
};

/// Samples of one drive of one series.
std::pair<std::size_t, std::size_t> range_of(const Series& series, std::size_t drive) {
  for (std::size_t i = 0; i < series.starts.size(); ++i) {
    if (series.starts[i].drive != drive) continue;
    const bool last = i + 1 == series.starts.size();
    return {series.starts[i].sample, last ? series.samples.size() : series.starts[i + 1].sample};
  }
  return {0, 0};
}

class Merger {
 public:
  Merger(const SeriesByRole& series, const RowMap& places, Recording& recording)
      : series_(series), places_(places), recording_(recording) {
    row_.fill(std::numeric_limits<float>::quiet_NaN());
    turn_s_ =
        std::min(usual_step_s(*series[static_cast<std::size_t>(Role::coolant)]), k_longest_turn_s);
  }

  void run();

 private:
  void merge_drive(std::size_t drive);
  void take(const Cursor& cursor);
  void close_row();
  bool ends_row(const Cursor& cursor) const;
  bool has_shared_stamps(std::size_t drive) const;
  std::vector<Cursor> cursors_of(std::size_t drive) const;

  const SeriesByRole& series_;
  const RowMap& places_;
  Recording& recording_;
  double turn_s_ = 1.0;
  bool shared_stamps_ = false;
  bool open_ = false;
  double row_time_s_ = 0.0;
  std::uint32_t row_place_ = 0;
  std::array<float, k_role_count> row_{};
};

std::vector<Cursor> Merger::cursors_of(std::size_t drive) const {
  std::vector<Cursor> cursors;
  for (std::size_t r = 0; r < k_role_count; ++r) {
    if (series_[r] == nullptr) continue;
    const auto [from, to] = range_of(*series_[r], drive);
    if (from < to) cursors.push_back({static_cast<Role>(r), series_[r], from, to});
  }
  return cursors;
}

/// True when at least half of the coolant's samples have another signal's at the same time.
bool Merger::has_shared_stamps(std::size_t drive) const {
  auto cursors = cursors_of(drive);
  if (cursors.size() < 2 || cursors.front().role != Role::coolant) return false;
  const Cursor coolant = cursors.front();
  std::size_t shared = 0;
  for (std::size_t i = coolant.next; i < coolant.end; ++i) {
    bool found = false;
    for (std::size_t c = 1; c < cursors.size(); ++c) {
      Cursor& other = cursors[c];
      const auto& samples = other.series->samples;
      while (other.next < other.end &&
             samples[other.next].time_s < coolant.series->samples[i].time_s)
        ++other.next;
      found |=
          other.next < other.end && samples[other.next].time_s == coolant.series->samples[i].time_s;
    }
    shared += found ? 1U : 0U;
  }
  return shared * 2 >= coolant.end - coolant.next;
}

bool Merger::ends_row(const Cursor& cursor) const {
  const double since_s = cursor.series->samples[cursor.next].time_s - row_time_s_;
  if (shared_stamps_) return since_s > 0.0;
  return since_s >= turn_s_ || !std::isnan(row_[static_cast<std::size_t>(cursor.role)]);
}

void Merger::take(const Cursor& cursor) {
  const Sample& sample = cursor.series->samples[cursor.next];
  if (!open_) {
    row_time_s_ = sample.time_s;
    row_place_ = sample.row;
    open_ = true;
  }
  if (is_text(cursor.role)) {
    recording_.text_changes.push_back(
        {recording_.size(), cursor.role,
         cursor.series->texts[static_cast<std::size_t>(sample.value)]});
  } else {
    row_[static_cast<std::size_t>(cursor.role)] = sample.value;
  }
}

void Merger::close_row() {
  if (!open_) return;
  for (std::size_t r = 0; r < k_role_count; ++r) {
    if (series_[r] == nullptr || is_text(static_cast<Role>(r))) continue;
    if (std::isnan(row_[r]))
      recording_.values[r].push_missing();
    else
      recording_.values[r].push(static_cast<double>(row_[r]));
  }
  recording_.time_s.push_back(row_time_s_);
  recording_.row_map.add({row_place_, places_.at(row_place_ - 1).line});
  row_.fill(std::numeric_limits<float>::quiet_NaN());
  open_ = false;
}

void Merger::merge_drive(std::size_t drive) {
  auto cursors = cursors_of(drive);
  shared_stamps_ = has_shared_stamps(drive);
  for (;;) {
    Cursor* first = nullptr;
    for (Cursor& cursor : cursors) {
      if (cursor.next == cursor.end) continue;
      const Sample& sample = cursor.series->samples[cursor.next];
      if (first != nullptr) {
        const Sample& best = first->series->samples[first->next];
        // Of equal times the one that stands first in the log comes first.
        if (sample.time_s > best.time_s || (sample.time_s == best.time_s && sample.row >= best.row))
          continue;
      }
      first = &cursor;
    }
    if (first == nullptr) break;
    if (open_ && ends_row(*first)) close_row();
    take(*first);
    ++first->next;
  }
  close_row();
}

void Merger::run() {
  std::size_t drives = 0;
  for (const Series* series : series_) {
    if (series != nullptr && !series->starts.empty())
      drives = std::max(drives, series->starts.back().drive + 1);
  }
  for (std::size_t drive = 0; drive < drives; ++drive) merge_drive(drive);
}

} // namespace

SeriesClock::Answer SeriesClock::add(Series& series, const Sample& sample) {
  const bool fresh = series.samples.empty();
  const double own_back_s = fresh ? 0.0 : series.samples.back().time_s - sample.time_s;
  const double back_s = started_ ? last_s_ - sample.time_s : 0.0;
  std::size_t drive = fresh ? 0 : series.starts.back().drive;
  if (back_s < k_out_of_order_s) {
    drive = std::max(drive, last_drive_);
  } else if (own_back_s >= k_out_of_order_s) {
    ++drive;
  }
  const bool same_drive = !fresh && series.starts.back().drive == drive;
  if (same_drive && own_back_s > 0.0) return Answer::out_of_order;
  if (!same_drive) series.starts.push_back({series.samples.size(), drive});
  series.samples.push_back(sample);
  started_ = true;
  last_s_ = sample.time_s;
  last_drive_ = drive;
  if (drive > 0 && first_reset_row_ == 0) first_reset_row_ = sample.row;
  drives_ = std::max(drives_, drive + 1);
  return Answer::kept;
}

void merge_series(const SeriesByRole& series, const RowMap& places, Recording& recording) {
  Merger(series, places, recording).run();
}

} // namespace coolband
