// SPDX-License-Identifier: Apache-2.0
// What a coolant card says in words: what was assumed, how sure it is, what to mind.
#pragma once

#include "report/coolant_report.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace coolband {

std::string_view name_of(Glycol glycol);
std::string_view name_of(Source source);

/// "50 vol % ethylene glycol", "water without glycol".
std::string mix_words(const CoolantMix& mix);

/// "concentrate", "70 % product".
std::string product_words(double product_pct);

/// Both in text and JSON; temperatures as `amounts` shows them.
std::vector<std::string> assumptions_of(const CoolantReport& report, const Amounts& amounts);
std::vector<std::string> uncertainties_of(const CoolantReport& report);
std::vector<std::string> warnings_of(const CoolantReport& report, const Amounts& amounts);
std::vector<std::string> cautions_of();

} // namespace coolband
