// SPDX-License-Identifier: Apache-2.0
// The rows of a reader as text, to be compared with those of another.
#pragma once

#include "import/row.hpp"

#include <string>

namespace coolband::testing {

inline std::string rows_of(RowReader& reader) {
  std::string text;
  Row row;
  while (reader.next(row)) {
    text += std::to_string(row.line) + " " + std::string(row.fault);
    for (const std::string_view cell : row.cells) (text += '\x1F') += cell;
    text += '\x1E';
  }
  for (const std::string& note : reader.notes()) (text += note) += '\x1E';
  if (reader.error()) text += describe(*reader.error());
  return text;
}

} // namespace coolband::testing
