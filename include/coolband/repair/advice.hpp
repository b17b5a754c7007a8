// SPDX-License-Identifier: Apache-2.0
// From a judgement to what a person should do next, and what can hurt on the way; the job card
// that goes along.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace coolband {

/// One line of a job card, carried through as it is.
struct JobField {
  std::string key; ///< "number", "complaint", "odometer_km", "date", ...
  std::variant<std::string, std::int64_t, double> value;
};
using JobCard = std::vector<JobField>;

struct Advice {
  std::vector<std::string> next_steps; ///< in order of work
  std::vector<std::string> cautions;
};

/// `band` and `profile` may be null (nothing was known of the vehicle).
Advice advise(const Judgement& judgement, const NormalBand* band,
              const VehicleProfile* profile = nullptr);

} // namespace coolband
