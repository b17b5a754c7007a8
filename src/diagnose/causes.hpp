// SPDX-License-Identifier: Apache-2.0
// From evidence to ranked causes: Bayes' rule with stated priors.
#pragma once

#include "coolband/diagnose/judgement.hpp"
#include "diagnose/circuit_evidence.hpp"

#include <vector>

namespace coolband {

/// Causes by falling probability (sum 1), each with the evidence that speaks for and against it
/// and the checks that would confirm it. What the circuit says may be missing.
std::vector<Cause> rank_causes(const std::vector<Evidence>& evidence,
                               const CircuitEvidence& circuit);

/// Physical checks that separate a cause from those with the same temperature signature.
std::vector<std::string> confirming_checks(Condition condition);

} // namespace coolband
