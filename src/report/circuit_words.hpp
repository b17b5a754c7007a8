// SPDX-License-Identifier: Apache-2.0
// A fitted circuit in words: what the drives tell of thermostat, heat and radiator, and what they
// do not.
#pragma once

#include "coolband/circuit/fitted_circuit.hpp"
#include "report/layout.hpp"

namespace coolband {

void add_circuit(Page& page, const FittedCircuit& circuit);

} // namespace coolband
