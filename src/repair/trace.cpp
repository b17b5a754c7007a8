// SPDX-License-Identifier: Apache-2.0
// What one drive says of each fault, and of a leaking valve, by the vehicle's own circuit.
#include "repair/trace.hpp"

#include "diagnose/circuit_evidence.hpp"
#include "diagnose/sound_course.hpp"

#include <cmath>

namespace coolband {

namespace {

constexpr double k_from_c = 50.0;
/// The published tolerance of the start of opening (TM 5-3825-229-14&P).
constexpr double k_short_of_opening_k = 3.0;
/// A rise that is over sooner tells little of a pace, s.
constexpr double k_least_rise_s = 90.0;

struct OwnCircuit {
  CircuitKnowledge knowledge;
  CircuitTrip trip;
};

/// None where the vehicle's own circuit is not known, or what heats and cools it was not logged.
std::optional<OwnCircuit> own_circuit(const Trip& trip, const NormalBand& band,
                                      const std::optional<VehicleProfile>& profile) {
  OwnCircuit own{circuit_knowledge(band, profile), {}};
  if (!own.knowledge.learned) return std::nullopt;
  own.trip = circuit_trip(trip.blocks, {});
  if (!own.trip.complete) return std::nullopt;
  return own;
}

/// s from the first passage of one temperature to that of another, between blocks of a course.
std::optional<double> rise_s(const Blocks& blocks, const std::vector<float>& course, double from_c,
                             double to_c) {
  std::optional<double> begun;
  for (std::size_t i = 1; i < course.size(); ++i) {
    const auto low = static_cast<double>(course[i - 1]);
    const auto high = static_cast<double>(course[i]);
    if (std::isnan(low) || std::isnan(high) || !(high > low)) continue;
    const auto passed = [&](double level_c) -> std::optional<double> {
      if (!(low < level_c && level_c <= high)) return std::nullopt;
      const double share = (level_c - low) / (high - low);
      return blocks.start_s[i - 1] + share * (blocks.start_s[i] - blocks.start_s[i - 1]);
    };
    if (!begun) begun = passed(from_c);
    if (!begun) continue;
    if (const auto ended = passed(to_c)) return *ended - *begun;
  }
  return std::nullopt;
}

} // namespace

std::optional<Pace> shut_pace_of(const Trip& trip, const NormalBand& band,
                                 const std::optional<VehicleProfile>& profile) {
  const Blocks& blocks = trip.blocks;
  if (blocks.size() == 0 || !(static_cast<double>(blocks.coolant.front()) < k_from_c))
    return std::nullopt;
  const auto own = own_circuit(trip, band, profile);
  if (!own) return std::nullopt;
  const double to_c =
      own->knowledge.mean[static_cast<std::size_t>(CircuitParameter::opens)] - k_short_of_opening_k;
  const SoundCourse sound = sound_course(own->trip, own->knowledge, blocks.size());
  const auto usual_s = rise_s(blocks, sound.reading_c, k_from_c, to_c);
  const auto taken_s = rise_s(blocks, blocks.coolant, k_from_c, to_c);
  if (!usual_s || !taken_s || *usual_s < k_least_rise_s) return std::nullopt;
  double error_k = 0.0;
  for (std::size_t i = 1; i < blocks.size(); ++i) {
    if (static_cast<double>(sound.reading_c[i]) >= to_c) {
      error_k = static_cast<double>(sound.error_k[i]);
      break;
    }
  }
  return Pace{*usual_s / *taken_s, error_k / (to_c - static_cast<double>(blocks.coolant.front()))};
}

std::optional<DriveTrace> trace_of(const Trip& trip, const NormalBand& band,
                                   const std::optional<VehicleProfile>& profile) {
  const auto own = own_circuit(trip, band, profile);
  if (!own) return std::nullopt;
  const CircuitEvidence evidence = circuit_evidence(own->trip, own->knowledge);
  if (evidence.hypotheses.empty()) return std::nullopt;
  return evidence.log_evidence;
}

} // namespace coolband
