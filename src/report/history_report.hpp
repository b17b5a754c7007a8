// SPDX-License-Identifier: Apache-2.0
// The history of a vehicle as text and as `coolband.history/1`.
#pragma once

#include "band/history.hpp"
#include "coolband/report/report.hpp"

#include <string>

namespace coolband {

/// Ends with a newline.
std::string render_history(const NormalBand& band, const History& history, const TextStyle& style);
/// One object; no newline at the end.
std::string render_history_json(const NormalBand& band, const History& history, int indent);

} // namespace coolband
