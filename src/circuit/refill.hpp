// SPDX-License-Identifier: Apache-2.0
// How much to drain, and how much product and water to fill in. Volumes in L, concentrations in
// vol %; volumes are taken as additive (real mixtures shrink slightly when mixed).
#pragma once

#include "coolband/core/result.hpp"

namespace coolband {

struct RefillTask {
  double capacity_l = 0.0;
  double present_pct = 0.0; ///< of what is in the system, or was before it was drained
  double target_pct = 0.0;
  double product_pct = 100.0; ///< strength of what is filled in: 100 concentrate, less a premix
  double missing_l = 0.0;     ///< drained or lost already
};

/// The system is full again after `product_l` and `water_l`, and holds the target.
struct Refill {
  double drain_l = 0.0;         ///< what must be out in all before filling
  double more_to_drain_l = 0.0; ///< of these, what is still in
  double product_l = 0.0;
  double water_l = 0.0;
};

/// How full and how strong, with as little drained as possible. Where the room made so far does not
/// do, only product, or only water, goes into the room that does. Errors (kind usage): a number
/// that is none or out of range; a product too weak for the target.
Result<Refill> plan_refill(const RefillTask& task);

/// Drain-and-replace: V (target - present) / (added - present) is what to drain of a full system
/// and to replace with something of the strength `added_pct`, another than `present_pct`.
double exchange_volume_l(double capacity_l, double present_pct, double target_pct,
                         double added_pct);

/// The concentration of a full system of which `added_l` were missing and are filled in.
double mixed_pct(double capacity_l, double present_pct, double added_l, double added_pct);

} // namespace coolband
