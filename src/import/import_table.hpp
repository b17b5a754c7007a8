// SPDX-License-Identifier: Apache-2.0
// From the rows of a table to a Recording: shape, columns, clock, rows, units.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/import/import_log.hpp"
#include "import/row.hpp"
#include "import/table_head.hpp"

namespace coolband {

/// `reader` gives every record behind the encoding, also those of the head. `how` comes with the
/// format filled in. Errors: kind usage for choices that cannot be followed, kind input when the
/// table has no time, no coolant or no usable row, or when its reader fails.
Result<Recording> import_table(RowReader& reader, const TableHead& head,
                               const ImportOptions& options, HowRead how);

} // namespace coolband
