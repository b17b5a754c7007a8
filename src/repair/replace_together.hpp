// SPDX-License-Identifier: Apache-2.0
// Parts that come off or within reach anyway: replace them now, or wait until they fail?
#pragma once

#include "repair/job_facts.hpp"
#include "repair/parts.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// A part's life as the user states it, by a Weibull distribution (its form: MIL-HDBK-338B 5.3.6).
struct PartLife {
  std::string id;       ///< as in part_kinds()
  double life_km = 0.0; ///< > 0; characteristic life: 63.2 % have failed by then
  double shape = 0.0;   ///< > 0; 1: fails at random, above: wears out
  /// Odometer when it was fitted; none: taken to be as old as the vehicle.
  std::optional<double> fitted_km;
};

/// Chance that a part which has lived for `age` fails within the next `distance`:
/// 1 - exp((t/η)^β - ((t + x)/η)^β). Ages and distances in the unit of `life`, not negative.
double failure_within(double life, double shape, double age, double distance);

struct TogetherPart {
  PartKind kind;
  double extra_min = 0.0; ///< labour to replace it during this job
  double alone_min = 0.0; ///< labour when it has to be done by itself
  std::optional<PartLife> life;
  std::optional<double> failure;    ///< within the distance asked
  std::optional<double> now_cost;   ///< price and labour now
  std::optional<double> later_cost; ///< expected: failure × (price and labour then)
  std::string advice;
};

struct TogetherQuestion {
  std::vector<PartLife> lives;
  double next_km = 0.0;
  std::optional<double> odometer_km;
  std::vector<PartPrice> prices;
};

/// Parts beyond those that the job itself replaces; empty where nothing else comes off.
std::vector<TogetherPart> replace_together(RepairKind kind, const JobFacts& facts,
                                           const TogetherQuestion& question);

} // namespace coolband
