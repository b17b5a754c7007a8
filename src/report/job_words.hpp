// SPDX-License-Identifier: Apache-2.0
// A job card's fields, for a person and for a script.
#pragma once

#include "coolband/report/report.hpp"

#include <string>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

/// "odometer" for "odometer_km", else the key with blanks.
std::string job_label(const JobField& field);
/// "142000 km"; a text as it is.
std::string job_text(const JobField& field);
/// "number A-12; odometer 142000 km"
std::string job_words(const JobCard& job);

/// Label and text, field by field.
std::vector<std::pair<std::string, std::string>> job_pairs(const JobCard& job);

nlohmann::ordered_json job_json(const JobCard& job);

} // namespace coolband
