// SPDX-License-Identifier: Apache-2.0
// Reports that coolband wrote, read back: `coolband.report/1`.
#pragma once

#include "coolband/core/result.hpp"
#include "repair/reported_trip.hpp"

#include <string>
#include <vector>

namespace coolband::cli {

/// One object, an array of objects, or one object a line, in that order; "-" is standard input.
/// Unknown keys are passed over. Errors (kind input) name line and column, and the key: not JSON,
/// another or a newer schema, no verdict, a field of the wrong type or out of range, no report.
Result<std::vector<ReportedTrip>> read_reports(const std::string& path);
Result<std::vector<ReportedTrip>> parse_reports(const std::string& text, const std::string& name);

} // namespace coolband::cli
