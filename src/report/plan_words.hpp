// SPDX-License-Identifier: Apache-2.0
// What a job plan says in words, for text and page alike.
#pragma once

#include "repair/plan.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coolband {

/// "a thermostat that hangs open"
std::string_view cause_words(Condition condition);

/// What the job is about, in a line.
std::string job_headline(const JobPlan& plan);

/// Name and value by line: vehicle, trip, report, job card.
std::vector<std::pair<std::string, std::string>> job_card(const JobPlan& plan);

/// A line a check: "Title: how. What it shows (2 min, cold, no tools, settles 3 %; mind: hot
/// system)".
std::vector<std::string> check_lines(const JobPlan& plan);
std::vector<std::string> caution_lines(const JobPlan& plan);
/// What the checks leave, or why there are none.
std::string checks_outcome(const JobPlan& plan);

/// When a check with the engine running must end; empty without one.
std::string switch_off_words(const JobPlan& plan);

/// A line a part, with its price in brackets where there is one; and those that may be needed.
std::vector<std::string> needed_lines(const JobPlan& plan);
std::string if_bad_words(const JobPlan& plan);
/// The same as rows, heading first; prices only where there are any.
std::vector<std::vector<std::string>> part_rows(const JobPlan& plan);
/// Empty without prices.
std::string cost_words(const JobPlan& plan);

std::vector<std::string> coolant_lines(const JobCoolant& coolant);

std::vector<std::string> torque_lines();

/// Parts whose life is known: the chance of failing, and what follows.
std::vector<std::string> life_lines(const JobPlan& plan);
/// The same as rows, heading first; empty without any.
std::vector<std::vector<std::string>> together_rows(const JobPlan& plan);
/// The other parts within reach; empty without any.
std::string within_reach_words(const JobPlan& plan);

std::vector<std::string> proof_lines(const JobPlan& plan);

} // namespace coolband
