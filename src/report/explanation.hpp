// SPDX-License-Identifier: Apache-2.0
// The chain of reasons behind a judgement, for a person and for a script.
#pragma once

#include "coolband/report/report.hpp"
#include "report/layout.hpp"

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

/// One piece of evidence with the causes that it speaks for and against, the most probable first;
/// of neither where it hardly tells the causes apart.
struct Testimony {
  std::string text;
  std::vector<Condition> speaks_for;
  std::vector<Condition> speaks_against;
};
std::vector<Testimony> testimonies(const Judgement& judgement);

/// Each episode (rows, conditions, expected, sound, observed, put down to what), then the trip's
/// evidence, the hypotheses of the thermal circuit and the ranked causes.
void add_explanation(Page& page, const TripReport& report);

/// The same as `explanation` of coolband.report/1; the causes stand in the report anyway.
nlohmann::ordered_json explanation_json(const TripReport& report);

/// "17:10": minutes and seconds from the trip's first row.
std::string minute_words(double seconds);

} // namespace coolband
