// SPDX-License-Identifier: Apache-2.0
// The steps of a job, and what becomes of the old coolant.
#pragma once

#include "repair/hazards.hpp"
#include "repair/job_facts.hpp"
#include "repair/repair_kind.hpp"

#include <string>
#include <vector>

namespace coolband {

struct Work {
  std::vector<std::string> steps;
  std::vector<Hazard> hazards;
  std::vector<std::string> waste; ///< empty where no coolant comes out
};

/// Empty for RepairKind::none.
Work order_of_work(RepairKind kind, const JobFacts& facts);

} // namespace coolband
