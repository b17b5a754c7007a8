// SPDX-License-Identifier: Apache-2.0
// What the bench's logs hold, and what is known of the vehicle besides.
#pragma once

#include "circuit/scenario.hpp"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coolband::accuracy {

enum class Knowledge { band, profile, trip };

struct ColumnSet {
  std::string_view name;
  std::string_view says; ///< in words
  bool load = true;
  bool ambient = true;
  bool motion = true; ///< engine speed, road speed, altitude
  double period_s = 1.0;
  double step_c = 0.1; ///< of the reading
  bool fahrenheit = false;
  Knowledge knowledge = Knowledge::band;
  bool learned_full = false; ///< the learning drives were logged with all columns
};

/// The columns of the learning drives.
ColumnSet as_learned(ColumnSet set);

std::span<const ColumnSet> column_sets();
std::optional<ColumnSet> column_set_named(std::string_view name);

/// The drive as the text of a CSV log.
std::string log_text(const std::vector<SimulatedRow>& rows, const ColumnSet& set);

} // namespace coolband::accuracy
