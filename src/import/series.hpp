// SPDX-License-Identifier: Apache-2.0
// Signals that were each sampled at their own times, and the rows that they are put into.
#pragma once

#include "coolband/import/recording.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// Roles whose values are names, not numbers.
inline bool is_text(Role role) { return role == Role::trip || role == Role::vehicle; }

/// One value of one signal.
struct Sample {
  double time_s = 0.0;
  float value = 0.0F;    ///< of a text signal: index into `Series::texts`
  std::uint32_t row = 0; ///< 1-based data row of the input
};

/// What stood in place of a value.
enum class NoValue { missing, garbled, error, not_available, out_of_range };
inline constexpr std::size_t k_no_value_kinds = 5;

struct Series {
  std::string name;
  std::string unit; ///< as spelled; empty: none stated
  std::vector<Sample> samples;
  std::vector<std::string> texts;
  std::array<SetAside, k_no_value_kinds> no_values; ///< reasons are filled in when reported
  /// Where the clock was set anew: index of the first sample behind, and the number of the drive.
  struct Start {
    std::size_t sample = 0;
    std::size_t drive = 0;
  };
  std::vector<Start> starts;
};

/// Gives each sample its drive. A log may hold its signals turn by turn or one after the other, so
/// a step back of the time is a new drive only when the signal itself steps back: the same step
/// where another signal begins is that signal's own beginning. Steps back of less than a minute
/// are rows out of order.
class SeriesClock {
 public:
  enum class Answer { kept, out_of_order };
  Answer add(Series& series, const Sample& sample);
  [[nodiscard]] std::size_t drives() const { return drives_; }
  /// 1-based data row with which the second drive begins; 0 when there is none.
  [[nodiscard]] std::size_t first_reset_row() const { return first_reset_row_; }

 private:
  double last_s_ = 0.0;
  std::size_t last_drive_ = 0;
  std::size_t drives_ = 1;
  std::size_t first_reset_row_ = 0;
  bool started_ = false;
};

/// Which series becomes the column of which role.
using SeriesByRole = std::array<const Series*, k_role_count>;

/// Fills `time_s`, `values`, `text_changes` and `row_map` of `recording`. A row is one turn of the
/// polling: it ends when a signal comes again, and after the usual step of the coolant (10 s at
/// most); where most samples share their time with another signal, it ends when the time changes.
/// Its time is that of its first sample. A signal without a sample in a turn is missing there:
/// nothing is held, nothing interpolated. `places` maps rows of the input to their lines.
void merge_series(const SeriesByRole& series, const RowMap& places, Recording& recording);

} // namespace coolband
