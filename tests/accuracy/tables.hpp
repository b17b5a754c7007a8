// SPDX-License-Identifier: Apache-2.0
// The bench's figures as text.
#pragma once

#include "accuracy/trial.hpp"

#include <string>
#include <vector>

namespace coolband::accuracy {

/// Every figure of one set of columns, the targets beside them.
std::string figures_text(const ColumnSet& set, const std::vector<Case>& cases);

/// Fault by verdict, and healthy drives by kind.
std::string confusion_text(const std::vector<Case>& cases);

/// How often each fault could be seen, of the drives drawn.
std::string population_text(const std::vector<VehicleResult>& results);

/// One line for each case judged wrong.
std::string details_text(const std::vector<Case>& cases);
/// Every case as one line of JSON.
std::string table_text(const std::vector<Case>& cases);

} // namespace coolband::accuracy
