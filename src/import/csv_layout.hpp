// SPDX-License-Identifier: Apache-2.0
// What kind of delimited text this is: delimiter, decimal marks, heading row, units row.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/import/import_log.hpp"
#include "import/table_head.hpp"

#include <string>
#include <string_view>

namespace coolband {

/// `sample` is the start of the log; `complete` when it is all of it. Errors (kind input): no
/// delimiter splits the lines into columns.
Result<TableHead> find_csv_layout(std::string_view sample, bool complete, const std::string& name,
                                  const ImportOptions& options);

} // namespace coolband
