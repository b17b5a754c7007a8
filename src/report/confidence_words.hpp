// SPDX-License-Identifier: Apache-2.0
// A probability in words beside its number, and names as people say them.
#pragma once

#include "coolband/analyse.hpp"
#include "diagnose/plain_name.hpp"

#include <string>
#include <string_view>

namespace coolband {

/// "very likely", by the likelihood scale of the IPCC (Mastrandrea et al. 2010, Guidance Note on
/// Consistent Treatment of Uncertainties, table 1; from memory): from 99 % virtually certain, 95 %
/// extremely likely, 90 % very likely, 66 % likely, 50 % more likely than not, 33 % about as likely
/// as not, 10 % unlikely, below very unlikely. Of nested steps the narrowest one is said.
std::string_view likelihood_words(double probability);

/// "very likely, 92 %"; never 100 %, and never 0 %.
std::string confidence_words(double probability);

/// Why the verdict says less than the share of its cause; empty where it does not, or names none.
std::string shares_note(const TripFinding& finding);

/// What an episode is put down to: its explanation, else its cause.
std::string plain_account(const Episode& episode);

} // namespace coolband
