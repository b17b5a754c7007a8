// SPDX-License-Identifier: Apache-2.0
// What the first records of a JSON log say about its columns.
#pragma once

#include "coolband/core/result.hpp"
#include "import/json_shape.hpp"
#include "import/table_head.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// A cell that must say the same in every record: the unit of the value beside it.
struct JsonUnitCell {
  std::size_t column = 0; ///< in `JsonHead::keys`
  std::string text;
};

struct JsonHead {
  TableHead table;
  std::vector<std::string> keys; ///< of the cells, those of the table first; empty for rows
  std::vector<JsonUnitCell> units;
  std::size_t head_records = 0; ///< rows that hold headings and units, no data
};

/// Reads the first records in `sample` (all there is, if `complete`). Errors (kind input): no
/// record can be read.
Result<JsonHead> find_json_head(std::string_view sample, bool complete, const JsonShape& shape,
                                const std::string& name);

} // namespace coolband
