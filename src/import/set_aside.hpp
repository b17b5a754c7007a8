// SPDX-License-Identifier: Apache-2.0
// Counting what is not used, the same way for every shape of table.
#pragma once

#include "coolband/import/recording.hpp"
#include "import/row.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace coolband {

/// One more for `reason`; `at` is kept when it is the first.
void count_set_aside(std::vector<SetAside>& list, const std::string& reason, RowMap::Place at);

/// The row as text, cut short, to be shown in a message.
std::string excerpt_of(const Row& row, char delimiter);

} // namespace coolband
