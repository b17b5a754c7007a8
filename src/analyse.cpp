// SPDX-License-Identifier: Apache-2.0
// The whole judgement on one page.
#include "coolband/analyse.hpp"

#include "band/summarise_trip.hpp"
#include "coolband/condition/condition.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "diagnose/as_logged.hpp"
#include "diagnose/deviations.hpp"
#include "segment/settle_trip.hpp"

#include <fmt/core.h>

#include <cmath>

namespace coolband {

namespace {

/// By less than this a level that is lower changes nothing, K.
constexpr double k_lower_k = 1.0;

SegmentOptions options_for(const std::optional<NormalBand>& given) {
  SegmentOptions options;
  if (!given) return options;
  options.regulating_c = given->centre_c; // where this vehicle regulates
  options.load_lag_s = given->load_lag_s;
  return options;
}

/// On a cool day, or an easy road, a vehicle regulates lower than on average: a warm-up ends there,
/// as those ended that the band was learned from. Nothing where a trip does not run lower, or lower
/// than its band allows.
std::optional<double> regulates_lower_c(const Trip& trip, const NormalBand& given) {
  if (trip.warm_ups.empty() || !trip.level_c || *trip.level_c > given.centre_c - k_lower_k)
    return std::nullopt;
  const auto wider = as_logged(given, trip.blocks);
  const Deviations deviations = deviations_from(trip, wider ? *wider : given, JudgeOptions{});
  std::vector<double> shares; // of what the band allows
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    if (trip.blocks.phase[i] == Phase::warm && !std::isnan(deviations.from_centre_c[i]))
      shares.push_back(deviations.from_centre(i) / deviations.limit(i));
  }
  if (shares.empty() || median(std::move(shares)) < -1.0) return std::nullopt;
  return trip.level_c;
}

void settle(Trip& trip, SegmentOptions options, const NormalBand& band) {
  options.regulating_c = regulates_lower_c(trip, band);
  if (options.regulating_c) settle_trip(trip, options);
}

std::string file_name(const std::string& path) {
  return path == "-" ? "standard input" : path.substr(path.find_last_of('/') + 1);
}

struct DriveName {
  std::string source;
  std::string start;
};

DriveName name_of_drive(const Recording& recording, const std::vector<Trip>& trips, std::size_t i) {
  std::string source = file_name(recording.source);
  if (trips.size() > 1) source += fmt::format("#{}", i + 1);
  return {std::move(source), format_instant(recording.clock, trips[i].start_s)};
}

} // namespace

std::optional<NormalBand> given_band(const std::optional<NormalBand>& band,
                                     const std::optional<VehicleProfile>& profile) {
  if (band || !profile) return band;
  return band_from_profile(*profile);
}

std::vector<Trip> trips_of(const Recording& recording, const Conditioned& conditioned,
                           const std::optional<NormalBand>& given) {
  const SegmentOptions options = options_for(given);
  std::vector<Trip> trips = find_trips(recording, conditioned, options);
  if (!given) return trips;
  for (Trip& trip : trips) settle(trip, options, *given);
  return trips;
}

void settle_trips(std::vector<Trip>& trips, const std::optional<NormalBand>& given) {
  const SegmentOptions options = options_for(given);
  for (Trip& trip : trips) {
    settle_trip(trip, options);
    if (given) settle(trip, options, *given);
  }
}

TripFinding judge_trip(const Recording& recording, Trip trip,
                       const std::optional<NormalBand>& given,
                       const std::optional<VehicleProfile>& profile) {
  TripFinding finding{std::move(trip), given, {}};
  if (!finding.band)
    finding.band = band_from_trip(finding.trip);
  else if (auto wider = as_logged(*finding.band, finding.trip.blocks))
    finding.band = std::move(wider);
  finding.judgement = finding.band ? judge(recording, finding.trip, *finding.band, profile)
                                   : judge_without_band(recording, finding.trip, profile);
  return finding;
}

std::vector<TripFinding> analyse(const Recording& recording, const std::optional<NormalBand>& band,
                                 const std::optional<VehicleProfile>& profile) {
  const std::optional<NormalBand> given = given_band(band, profile);
  std::vector<TripFinding> findings;
  for (Trip& trip : trips_of(recording, condition(recording), given))
    findings.push_back(judge_trip(recording, std::move(trip), given, profile));
  return findings;
}

std::vector<LearningDrive> summarise_drives(const Recording& recording,
                                            const LearnOptions& options) {
  return summarise_drives(recording, find_trips(recording, condition(recording)), nullptr, options);
}

std::vector<LearningDrive> summarise_drives(Recording&& recording, const LearnOptions& options) {
  std::vector<Trip> trips = find_trips(recording, condition(recording));
  recording.values = {};
  recording.time_s = TimeColumn();
  std::vector<LearningDrive> drives;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    const DriveName name = name_of_drive(recording, trips, i);
    drives.push_back({name.source, summarise_and_drop(trips[i], name.source, name.start, options)});
  }
  return drives;
}

std::vector<LearningDrive> summarise_drives(const Recording& recording,
                                            const std::vector<Trip>& trips,
                                            const std::string* vehicle,
                                            const LearnOptions& options) {
  std::vector<LearningDrive> drives;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    if (vehicle != nullptr && trips[i].vehicle_id != *vehicle) continue;
    const DriveName name = name_of_drive(recording, trips, i);
    drives.push_back({name.source, summarise_drive(trips[i], name.source, name.start, options)});
  }
  return drives;
}

} // namespace coolband
