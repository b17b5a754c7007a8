// SPDX-License-Identifier: Apache-2.0
// What one drive says of each fault, by the vehicle's own circuit.
#include "repair/trace.hpp"

#include "diagnose/circuit_evidence.hpp"

namespace coolband {

std::optional<DriveTrace> trace_of(const Trip& trip, const NormalBand& band,
                                   const std::optional<VehicleProfile>& profile) {
  const CircuitKnowledge knowledge = circuit_knowledge(band, profile);
  if (!knowledge.learned) return std::nullopt;
  const CircuitTrip circuit = circuit_trip(trip.blocks, {});
  if (!circuit.complete) return std::nullopt;
  const CircuitEvidence evidence = circuit_evidence(circuit, knowledge);
  if (evidence.hypotheses.empty()) return std::nullopt;
  return evidence.log_evidence;
}

} // namespace coolband
