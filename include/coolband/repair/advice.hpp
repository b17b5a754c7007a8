// SPDX-License-Identifier: Apache-2.0
// From a judgement to what a person should do next, and what can hurt on the way.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <string>
#include <vector>

namespace coolband {

struct Advice {
  std::vector<std::string> next_steps; ///< in order of work
  std::vector<std::string> cautions;
};

/// `band` may be null (nothing was known of the vehicle).
Advice advise(const Judgement& judgement, const NormalBand* band);

} // namespace coolband
