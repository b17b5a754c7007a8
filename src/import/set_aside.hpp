// SPDX-License-Identifier: Apache-2.0
// Counting what is not used, the same way for every shape of table.
#pragma once

#include "coolband/import/recording.hpp"
#include "import/row.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// One more for `reason`; `at` is kept when it is the first.
void count_set_aside(std::vector<SetAside>& list, const std::string& reason, RowMap::Place at);

/// Why rows behind headings that the import cannot follow are set aside.
std::string under_other_headings(std::size_t line);
/// The first such headings in a log that was read: their line, and the row that they were counted as.
std::optional<RowMap::Place> other_headings(const HowRead& how);

/// The row as text, cut short, to be shown in a message.
std::string excerpt_of(const Row& row, char delimiter);

} // namespace coolband
