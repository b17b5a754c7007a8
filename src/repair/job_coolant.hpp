// SPDX-License-Identifier: Apache-2.0
// What a job does to the coolant: how much comes out, what goes in for the right mix. Volumes in L,
// concentrations in vol %.
#pragma once

#include "circuit/coolant_card.hpp"
#include "repair/job_facts.hpp"
#include "repair/repair_kind.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// What the user says of it; none: from the profile, else assumed.
struct CoolantOptions {
  std::optional<double> capacity_l;
  std::optional<double> drained_l;
  std::optional<double> present_pct;
  std::optional<double> target_pct;
  double product_pct = 100.0;
};

struct JobCoolant {
  std::optional<double> capacity_l;
  std::optional<double> drained_l; ///< none where the capacity is not known either
  Source drained_from = Source::assumed;
  bool flushed = false; ///< what stays in the engine is water
  Glycol glycol = Glycol::ethylene;
  double present_pct = 0.0;
  Source present_from = Source::assumed;
  double target_pct = 0.0;
  double product_pct = 100.0;
  std::optional<Refill> refill;
  std::optional<double> flush_l;    ///< water to flush with
  std::optional<double> freezes_c;  ///< of the target; none beyond the tables
  std::vector<std::string> missing; ///< which figure is missing, and the formula that needs it
  std::vector<std::string> notes;   ///< what was assumed, what to measure
};

/// None for a job that opens no coolant circuit. Errors (kind usage) as of `plan_refill`.
Result<std::optional<JobCoolant>> job_coolant(RepairKind kind, const JobFacts& facts,
                                              const CoolantOptions& options);

} // namespace coolband
