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

/// "2 min, no tools, engine cold, settles 3 %"; without the share where nothing is in doubt.
std::string check_terms(const PlannedCheck& planned);
/// "Mind: hot system, fan may start." or nothing.
std::string check_cautions(const ConfirmingCheck& check);
/// What the checks leave, or why there are none.
std::string checks_outcome(const JobPlan& plan);

/// Heading first. Prices only where there are any.
std::vector<std::vector<std::string>> part_rows(const JobPlan& plan);
/// Empty without prices.
std::string cost_words(const JobPlan& plan);

std::vector<std::string> coolant_lines(const JobCoolant& coolant);

std::vector<std::string> torque_lines();

/// Heading first.
std::vector<std::vector<std::string>> together_rows(const JobPlan& plan);
std::string together_words(const JobPlan& plan);

std::vector<std::string> proof_lines(const JobPlan& plan);

} // namespace coolband
