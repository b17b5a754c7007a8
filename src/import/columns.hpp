// SPDX-License-Identifier: Apache-2.0
// Which column plays which role, and in which unit it is written.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/core/units.hpp"
#include "coolband/import/import_log.hpp"
#include "import/table_head.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct ColumnUse {
  std::size_t index = 0;
  std::optional<Unit> unit; ///< nothing: no unit is stated
  std::string unit_origin;  ///< "heading", "units row", "given" or empty
};

struct ColumnPlan {
  std::array<std::optional<ColumnUse>, k_role_count> use; ///< by Role
  std::optional<std::size_t> date; ///< a date column to be joined with the clock time
  std::string time_form;           ///< "dmy", "mm:ss" and the like, or empty: as the user gave it
  std::vector<std::string> ignored;
  std::vector<std::string> notes;

  [[nodiscard]] std::optional<ColumnUse>& of(Role role) {
    return use[static_cast<std::size_t>(role)];
  }
  [[nodiscard]] const std::optional<ColumnUse>& of(Role role) const {
    return use[static_cast<std::size_t>(role)];
  }
};

/// The user's choices come first, then the best candidate of each role (`better` in candidates.hpp
/// is the rule), with a note on the others. Errors: no time or no coolant column, and two bare
/// temperatures of which one must be the coolant. Roles of cells are not used here.
Result<ColumnPlan> plan_columns(const TableHead& head, const ImportOptions& options);

/// The column that a choice means: by heading, else by 1-based number. Errors: kind usage.
Result<std::size_t> column_chosen(const TableHead& head, const ColumnChoice& choice);

} // namespace coolband
