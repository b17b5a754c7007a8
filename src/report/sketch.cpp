// SPDX-License-Identifier: Apache-2.0
// Two levels a character: an upper and a lower half.
#include "report/sketch.hpp"

#include "condition/row_window.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr int k_rows = 8;
constexpr int k_levels = 2 * k_rows;
constexpr int k_axis_width = 6; ///< "1234 │"
constexpr int k_widest = 60;
/// A steady trip is not blown up to fill the picture: at least this much from top to bottom, K.
constexpr double k_least_span_k = 10.0;

struct Marks {
  const char* whole;
  const char* upper;
  const char* lower;
  const char* wall;
  const char* corner;
  const char* floor;
  const char* unit;
};
constexpr Marks k_drawn = {"█", "▀", "▄", "│", "└", "─", "  °C "};
constexpr Marks k_ascii = {":", "'", ".", "|", "+", "-", "   C "};

/// What one column of the picture has to show.
struct Slot {
  std::optional<double> low;
  std::optional<double> high;
  bool odd = false;

  void add(double value) {
    low = std::min(low.value_or(value), value);
    high = std::max(high.value_or(value), value);
  }
};

/// Sorts the rows of a trip into slots.
class Slots {
 public:
  Slots(const Recording& recording, const Trip& trip, int count)
      : recording_(recording), trip_(trip), slots_(static_cast<std::size_t>(count)),
        longest_bridge_s_(3.0 * std::max(trip.sample_period_s,
                                         trip.duration_s / static_cast<double>(trip.usable_rows))) {
  }

  std::vector<Slot> fill() {
    RowWindow rows(recording_, std::array{Role::coolant});
    auto event = trip_.sensor_events.begin();
    for (std::size_t row = trip_.first_row; row <= trip_.last_row; ++row) {
      rows.move_to(row);
      const float value = rows.value(Role::coolant, row);
      if (std::isnan(value)) continue;
      while (event != trip_.sensor_events.end() && event->last_row < row) ++event;
      const double time_s = rows.time_s(row) - trip_.start_s;
      if (event != trip_.sensor_events.end() && event->first_row <= row)
        slots_[slot_of(time_s)].odd = true;
      else
        add(time_s, static_cast<double>(value));
    }
    return std::move(slots_);
  }

 private:
  [[nodiscard]] std::size_t slot_of(double time_s) const {
    const double share = std::clamp(time_s / trip_.duration_s, 0.0, 1.0);
    const auto slot = static_cast<std::size_t>(share * static_cast<double>(slots_.size()));
    return std::min(slot, slots_.size() - 1);
  }

  void add(double time_s, double value) {
    const std::size_t slot = slot_of(time_s);
    slots_[slot].add(value);
    if (known_ && slot > last_slot_ + 1 && time_s - last_s_ <= longest_bridge_s_) {
      const double step = (value - last_) / static_cast<double>(slot - last_slot_);
      for (std::size_t i = last_slot_ + 1; i < slot; ++i)
        slots_[i].add(last_ + step * static_cast<double>(i - last_slot_));
    }
    known_ = true;
    last_ = value;
    last_s_ = time_s;
    last_slot_ = slot;
  }

  const Recording& recording_;
  const Trip& trip_;
  std::vector<Slot> slots_;
  double longest_bridge_s_;
  bool known_ = false;
  double last_ = 0.0;
  double last_s_ = 0.0;
  std::size_t last_slot_ = 0;
};

struct SketchScale {
  double bottom_c = 0.0;
  double top_c = 0.0;

  [[nodiscard]] int level(double value_c) const {
    const double share = (value_c - bottom_c) / (top_c - bottom_c);
    return static_cast<int>(std::lround(share * (k_levels - 1)));
  }
  [[nodiscard]] double value(int level) const {
    return bottom_c + (top_c - bottom_c) * level / (k_levels - 1);
  }
};

std::optional<SketchScale> scale_of(const std::vector<Slot>& slots) {
  Slot all;
  for (const Slot& slot : slots) {
    if (!slot.low) continue;
    all.add(*slot.low);
    all.add(*slot.high);
  }
  if (!all.low) return std::nullopt;
  SketchScale scale{std::floor(*all.low), std::ceil(*all.high)};
  const double lack = k_least_span_k - (scale.top_c - scale.bottom_c);
  if (lack > 0.0) {
    scale.bottom_c -= std::floor(lack / 2.0);
    scale.top_c += std::ceil(lack / 2.0);
  }
  return scale;
}

/// Levels from..to of each slot, drawn out to meet the slot before; to < from: nothing there.
struct Bar {
  int from = 0;
  int to = -1;
};

std::vector<Bar> bars_of(const std::vector<Slot>& slots, const SketchScale& scale) {
  std::vector<Bar> bars(slots.size());
  for (std::size_t i = 0; i < slots.size(); ++i) {
    if (!slots[i].low) continue;
    bars[i] = {scale.level(*slots[i].low), scale.level(*slots[i].high)};
    if (i == 0 || bars[i - 1].to < bars[i - 1].from) continue;
    bars[i].from = std::min(bars[i].from, bars[i - 1].to + 1);
    bars[i].to = std::max(bars[i].to, bars[i - 1].from - 1);
  }
  return bars;
}

std::string picture_line(const std::vector<Bar>& bars, int lower_level, const Marks& marks) {
  std::string line;
  for (const Bar& bar : bars) {
    const bool lower = lower_level >= bar.from && lower_level <= bar.to;
    const bool upper = lower_level + 1 >= bar.from && lower_level + 1 <= bar.to;
    line += lower && upper ? marks.whole : lower ? marks.lower : upper ? marks.upper : " ";
  }
  return line;
}

/// "0", half and whole of the time under the axis of `count` columns.
std::string time_labels(double duration_s, std::size_t count) {
  const bool hours = duration_s >= 3.0 * 3600.0;
  const bool minutes = duration_s >= 180.0;
  const double whole = duration_s / (hours ? 3600.0 : minutes ? 60.0 : 1.0);
  const std::string end = fmt::format("{:.{}f} {}", whole, hours ? 1 : 0,
                                      hours     ? "h"
                                      : minutes ? "min"
                                                : "s");
  const double half = (hours ? whole : std::round(whole)) / 2.0;
  const std::string middle = fmt::format("{:.{}f}", half, half == std::floor(half) ? 0 : 1);
  std::string line(k_axis_width, ' ');
  line += '0';
  if (count < 2 * end.size() + middle.size() + 4) {
    const std::size_t at = std::max(k_axis_width + count, line.size() + 1 + end.size());
    return line + std::string(at - line.size() - end.size(), ' ') + end;
  }
  line.resize(k_axis_width + count / 2, ' ');
  line += middle;
  line.resize(k_axis_width + count - end.size(), ' ');
  return line + end;
}

} // namespace

std::vector<std::string> sketch(const Recording& recording, const Trip& trip, int width,
                                bool ascii) {
  if (trip.usable_rows < 2 || !(trip.duration_s > 0.0)) return {};
  const double steps = trip.duration_s / std::max(trip.sample_period_s, 1e-9) + 1.0;
  const int most = std::clamp(width - k_axis_width, 1, k_widest);
  const int count = static_cast<int>(std::min(static_cast<double>(most), std::max(steps, 2.0)));
  const std::vector<Slot> slots = Slots(recording, trip, count).fill();
  const auto scale = scale_of(slots);
  if (!scale) return {};
  const Marks& marks = ascii ? k_ascii : k_drawn;
  const std::vector<Bar> bars = bars_of(slots, *scale);
  std::vector<std::string> lines;
  for (int row = 0; row < k_rows; ++row) {
    const int lower_level = k_levels - 2 - 2 * row;
    const bool bottom = row == k_rows - 1;
    const double value = scale->value(bottom ? 0 : lower_level + 1);
    const bool labelled = row == 0 || row == k_rows / 2 || bottom;
    const std::string label = labelled ? fmt::format("{:4.0f} ", value) : std::string(5, ' ');
    lines.push_back(label + marks.wall + picture_line(bars, lower_level, marks));
  }
  if (std::any_of(slots.begin(), slots.end(), [](const Slot& slot) { return slot.odd; })) {
    std::string line = std::string(5, ' ') + marks.wall;
    for (const Slot& slot : slots) line += slot.odd ? 'x' : ' ';
    lines.push_back(line);
  }
  std::string axis = std::string(marks.unit) + marks.corner;
  for (std::size_t i = 0; i < slots.size(); ++i) axis += marks.floor;
  lines.push_back(axis);
  lines.push_back(time_labels(trip.duration_s, slots.size()));
  return lines;
}

} // namespace coolband
