// SPDX-License-Identifier: Apache-2.0
// Logs through import, learning and judging, as a user's go.
#pragma once

#include "accuracy/fixed_rule.hpp"
#include "accuracy/trial.hpp"
#include "coolband/band/normal_band.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband::accuracy {

/// What is known of a vehicle before a drive is judged, with one set of columns.
struct Known {
  std::optional<NormalBand> band;
  std::optional<VehicleProfile> profile;
  std::optional<double> median_c; ///< for the fixed rule
};

/// Learns from logs as far as the set allows. What went wrong is added to `problems`.
Known learn_from(const std::vector<std::string>& logs, const ColumnSet& set, double stamped_c,
                 std::vector<std::string>& problems);

/// Puts verdict and fixed rule into `judged`.
void judge_log(const std::string& log, const Known& known, Case& judged,
               std::vector<std::string>& problems);

} // namespace coolband::accuracy
