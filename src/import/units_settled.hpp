// SPDX-License-Identifier: Apache-2.0
// The units that a log does not state, told from its values; and a second look at those it does.
#pragma once

#include "coolband/import/recording.hpp"
#include "import/columns.hpp"
#include "import/table_head.hpp"

namespace coolband {

/// Converts the columns without a unit, and fills `how.columns` (all but time) and `how.notes`.
void settle_units(Recording& recording, const TableHead& head, const ColumnPlan& plan);

} // namespace coolband
