// SPDX-License-Identifier: Apache-2.0
// Bytes in, a Recording out. The format is recognised from the content, never from the name.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/import/recording.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// `--column ROLE=HEADING[:UNIT]`: the user's word, which beats recognition.
struct ColumnChoice {
  Role role = Role::time;
  std::string heading; ///< compared without regard to case and surrounding blanks
  std::string unit;    ///< empty: as found; for time also "dmy" or "mdy" (order in a date)
};

/// A constant for a column that the log lacks, in coolband's own unit (e.g. `--ambient 21`).
/// When the log has the column, the column is used and a note says so.
struct Constant {
  Role role = Role::ambient;
  double value = 0.0;
};

struct ImportOptions {
  std::vector<ColumnChoice> columns;
  std::vector<Constant> constants;
};

/// Reads `path` ("-" is standard input). Errors: unreadable, empty, not a log, no time or coolant
/// column, an ambiguous heading, no usable row. Each names file, line and column where known, and
/// the remedy. A bad row is set aside and counted, never an error.
Result<Recording> import_log(const std::string& path, const ImportOptions& options = {});

/// The same from bytes in memory; `name` is used in messages.
Result<Recording> import_text(std::string_view bytes, const std::string& name,
                              const ImportOptions& options = {});

/// Reads `ROLE=HEADING[:UNIT]`. A heading may contain colons: only a last part that is a unit of
/// the role (or dmy, mdy) is taken as the unit.
Result<ColumnChoice> parse_column_choice(const std::string& text);

} // namespace coolband
