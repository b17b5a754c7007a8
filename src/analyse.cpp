// SPDX-License-Identifier: Apache-2.0
// The whole judgement on one page.
#include "coolband/analyse.hpp"

#include "coolband/condition/condition.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

/// Where this vehicle regulates, if anything but the trip knows.
std::optional<double> known_level(const std::optional<NormalBand>& band) {
  return band ? std::optional(band->centre_c) : std::nullopt;
}

std::string file_name(const std::string& path) {
  return path == "-" ? "standard input" : path.substr(path.find_last_of('/') + 1);
}

} // namespace

std::vector<TripFinding> analyse(const Recording& recording, const std::optional<NormalBand>& band,
                                 const std::optional<VehicleProfile>& profile) {
  std::optional<NormalBand> given = band;
  if (!given && profile) given = band_from_profile(*profile);
  SegmentOptions options;
  options.regulating_c = known_level(given);
  if (given) options.load_lag_s = given->load_lag_s;

  const Conditioned conditioned = condition(recording);
  std::vector<TripFinding> findings;
  for (Trip& trip : find_trips(recording, conditioned, options)) {
    TripFinding finding{std::move(trip), given, {}};
    if (!finding.band) finding.band = band_from_trip(finding.trip);
    finding.judgement = finding.band ? judge(recording, finding.trip, *finding.band, profile)
                                     : judge_without_band(recording, finding.trip, profile);
    findings.push_back(std::move(finding));
  }
  return findings;
}

std::vector<LearningDrive> summarise_drives(const Recording& recording,
                                            const LearnOptions& options) {
  const auto trips = find_trips(recording, condition(recording));
  std::vector<LearningDrive> drives;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    std::string source = file_name(recording.source);
    if (trips.size() > 1) source += fmt::format("#{}", i + 1);
    const std::string start = format_instant(recording.clock, trips[i].start_s);
    drives.push_back({source, summarise_drive(trips[i], source, start, options)});
  }
  return drives;
}

} // namespace coolband
