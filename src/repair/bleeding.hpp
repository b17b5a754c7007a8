// SPDX-License-Identifier: Apache-2.0
// How air is let out, by where the thermostat sits.
#pragma once

#include "repair/job_facts.hpp"
#include "repair/repair_kind.hpp"

#include <string>
#include <vector>

namespace coolband {

/// Empty for work that opens no coolant circuit.
std::vector<std::string> bleeding_steps(RepairKind kind, const JobFacts& facts);

} // namespace coolband
