// SPDX-License-Identifier: Apache-2.0
// The numbers of a trip in words, as text and page both say them.
#pragma once

#include "coolband/report/report.hpp"

#include <string>
#include <utility>
#include <vector>

namespace coolband {

/// "79.7 °C, 77.0 to 82.3, learned from 8 drives"; with `explain` what the conditions add, too.
std::string normal_words(const TripFinding& finding, bool explain);

/// "28 min judged, 85 % normal; median 86.0 °C (90 %: 78.0 to 89.0)"
std::string running_words(const Judgement& judgement);

/// "hottest 89.0 °C; boils at 124.8 °C, so 35.8 K were left"; empty where nothing is known.
std::string boiling_words(const Judgement& judgement);

/// "from 16.0 °C at 0:00: regulated after 12 min (usual: 9 min); it opened near 76 °C"
std::string warm_up_words(const WarmUp& warm_up, const std::optional<NormalBand>& band);

/// Whether the dash needle would have hidden it; empty where there was nothing to hide.
std::string needle_words(const Judgement& judgement);

/// All of them under their names, those that are not empty.
std::vector<std::pair<std::string, std::string>> number_lines(const TripReport& report);

} // namespace coolband
