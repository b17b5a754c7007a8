// SPDX-License-Identifier: Apache-2.0
// The unit that a column was read in.
#pragma once

#include "coolband/import/recording.hpp"

#include <string_view>

namespace coolband {

/// How the column of `role` was read; null when there is none.
inline const ColumnReading* reading_of(const Recording& recording, Role role) {
  for (const ColumnReading& column : recording.how.columns) {
    if (column.role == role) return &column;
  }
  return nullptr;
}

/// Empty when it is not known.
inline std::string_view unit_of(const Recording& recording, Role role) {
  const ColumnReading* column = reading_of(recording, role);
  return column == nullptr ? std::string_view() : std::string_view(column->unit);
}

} // namespace coolband
