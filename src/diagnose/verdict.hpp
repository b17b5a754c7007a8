// SPDX-License-Identifier: Apache-2.0
// From ranked causes to one verdict, or to the admission that there is none.
#pragma once

#include "coolband/diagnose/judgement.hpp"
#include "diagnose/evidence.hpp"

namespace coolband {

/// Classes of thermostats in use regulate within these, °C (common practice, no source): judged
/// against itself, a trip at another level cannot be called normal.
inline constexpr Range k_usual_levels_c{76.0, 100.0};

/// Fills condition, confidence, action, headline, reasons and limits of `judgement`, whose causes,
/// episodes, boiling and judged_s are already there.
void decide(Judgement& judgement, const Observed& observed, const Trip& trip,
            const NormalBand& band, const JudgeOptions& options);

/// What of a warm-up the verdict rests on.
struct JudgedWarmUp {
  bool time = false;
  bool opening = false;
};

/// What this log could not show, whatever the verdict.
std::vector<std::string> limits_of(const Trip& trip, const NormalBand* band,
                                   const Judgement& judgement, const JudgedWarmUp& judged);

} // namespace coolband
