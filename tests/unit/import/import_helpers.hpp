// SPDX-License-Identifier: Apache-2.0
// Short ways to import a text and to look at what came of it.
#pragma once

#include "coolband/core/error.hpp"
#include "coolband/import/import_log.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

namespace coolband::test {

inline ImportOptions choosing(const std::vector<std::string>& choices) {
  ImportOptions options;
  for (const std::string& text : choices) {
    auto choice = parse_column_choice(text);
    REQUIRE(choice.ok());
    options.columns.push_back(*choice);
  }
  return options;
}

inline Recording read(std::string_view text, const ImportOptions& options = {}) {
  auto result = import_text(text, "log", options);
  if (!result.ok()) FAIL(describe(result.error()));
  return std::move(*result);
}

/// The error as a person sees it.
inline std::string refusal(std::string_view text, const ImportOptions& options = {}) {
  const auto result = import_text(text, "log", options);
  REQUIRE_FALSE(result.ok());
  return describe(result.error());
}

inline const ColumnReading* reading_of(const Recording& recording, Role role) {
  for (const ColumnReading& column : recording.how.columns) {
    if (column.role == role) return &column;
  }
  return nullptr;
}

inline std::string heading_of(const Recording& recording, Role role) {
  const ColumnReading* reading = reading_of(recording, role);
  return reading == nullptr ? "" : reading->heading;
}

inline bool has_note(const Recording& recording, std::string_view part) {
  return std::any_of(recording.how.notes.begin(), recording.how.notes.end(),
                     [&](const auto& note) { return note.find(part) != std::string::npos; });
}

/// "reason xCOUNT @ROW:LINE", joined by "; ".
inline std::string listed(const std::vector<SetAside>& list) {
  std::string text;
  for (const SetAside& entry : list) {
    if (!text.empty()) text += "; ";
    text += entry.reason + " x" + std::to_string(entry.count) + " @" +
            std::to_string(entry.first_row) + ":" + std::to_string(entry.first_line);
  }
  return text;
}

} // namespace coolband::test
