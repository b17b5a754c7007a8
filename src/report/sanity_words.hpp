// SPDX-License-Identifier: Apache-2.0
// What is odd about the sensors of a trip, in words.
#pragma once

#include "coolband/report/report.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace coolband {

std::string_view name_of(ColdSoak::Outcome outcome);

/// "an error code of the sender"
std::string meaning_of(const OddValues& odd);

/// "colder than the air by 21 K: …", with what else than the sensor may be behind it.
std::string cold_soak_words(const ColdSoak& soak);

/// One line for each kind of odd value, for the cold start and for a frozen reading.
std::vector<std::string> sanity_words(const Recording& recording, const Trip& trip);

/// "a row every 0.1 s; a new rpm, speed every 2 s; a new coolant every 6 s or oftener"
std::string sampling_words(const Trip& trip);

} // namespace coolband
