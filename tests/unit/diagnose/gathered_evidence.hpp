// SPDX-License-Identifier: Apache-2.0
// The evidence of made trips, and what its likelihoods say.
#pragma once

#include "diagnose/evidence.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

namespace coolband::testing {

/// Well below the 80 °C of the made band.
inline constexpr double k_shut_below_c = 70.0;

/// All evidence of a trip under `observed`, with sensor episodes as given.
inline std::vector<Evidence> evidence_of(const Observed& observed, const Trip& trip,
                                         std::size_t erratic = 0) {
  const NormalBand band = made_band();
  Episode episode;
  episode.direction = Direction::erratic;
  const std::vector<Episode> episodes(erratic > 0 ? 1 : 0, episode);
  const ReadingFaults reading{find_dips(trip, k_shut_below_c), frozen_stretch(trip, band), {}};
  return gather_evidence(observed, trip, band, episodes, deviations_from(trip, band, {}), reading);
}

inline const Evidence& containing(const std::vector<Evidence>& evidence, const std::string& part) {
  const auto found = std::find_if(evidence.begin(), evidence.end(), [&](const Evidence& e) {
    return e.text.find(part) != std::string::npos;
  });
  REQUIRE_MESSAGE(found != evidence.end(), part);
  return *found;
}

inline bool has(const std::vector<Evidence>& evidence, const std::string& part) {
  return std::any_of(evidence.begin(), evidence.end(),
                     [&](const Evidence& e) { return e.text.find(part) != std::string::npos; });
}

using Sums = std::array<double, k_cause_count>;

inline void add(Sums& sums, const Evidence& evidence) {
  for (std::size_t c = 0; c < k_cause_count; ++c) {
    CHECK(evidence.likelihood[c] > 0.0);
    sums[c] += evidence.likelihood[c];
  }
}

inline void check_ones(const Sums& sums) {
  for (const double sum : sums) CHECK(sum == doctest::Approx(1.0).epsilon(1e-9));
}

inline Trip steady_trip() { return MadeTrip{}.add(180, {}).take(); }

/// Likelihood of the evidence that contains `part` under `some` over that under `other`.
inline double ratio(const std::vector<Evidence>& evidence, const std::string& part, Condition some,
                    Condition other) {
  const Likelihood& row = containing(evidence, part).likelihood;
  return row[static_cast<std::size_t>(some)] / row[static_cast<std::size_t>(other)];
}

} // namespace coolband::testing
