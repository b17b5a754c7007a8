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

#include <algorithm>
#include <cmath>
#include <utility>

namespace coolband {

namespace {

/// By less than this a level that is lower changes nothing, K.
constexpr double k_lower_k = 1.0;

SegmentOptions options_for(const GivenBand& given) {
  SegmentOptions options;
  if (!given.whole()) return options;
  options.regulating_c = given.whole()->centre_c; // where this vehicle regulates
  options.load_lag_s = given.whole()->load_lag_s;
  return options;
}

/// On a cool day, or an easy road, a vehicle regulates lower than on average: a warm-up ends there,
/// as those ended that the band was learned from. Nothing where a trip does not run lower, or lower
/// than its band allows.
std::optional<double> regulates_lower_c(const Trip& trip, const GivenBand& given) {
  if (trip.warm_ups.empty() || !trip.level_c || *trip.level_c > given.whole()->centre_c - k_lower_k)
    return std::nullopt;
  const Deviations deviations = deviations_from(trip, *given.as_logged(trip.blocks), {});
  std::vector<double> shares; // of what the band allows
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    if (trip.blocks.phase[i] == Phase::warm && !std::isnan(deviations.from_centre_c[i]))
      shares.push_back(deviations.from_centre(i) / deviations.limit(i));
  }
  if (shares.empty() || median(std::move(shares)) < -1.0) return std::nullopt;
  return trip.level_c;
}

/// Of a trip that was settled where its band's centre is.
void settle_lower(Trip& trip, SegmentOptions options, const GivenBand& given) {
  if (!given.whole()) return;
  options.regulating_c = regulates_lower_c(trip, given);
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

GivenBand::GivenBand(const std::optional<NormalBand>& band,
                     const std::optional<VehicleProfile>& profile)
    : whole_(band) {
  if (!whole_ && profile) whole_ = band_from_profile(*profile);
}

const std::optional<NormalBand>& GivenBand::as_logged(const Blocks& blocks) const {
  if (!whole_) return whole_;
  const Withheld withheld = not_logged(blocks);
  const unsigned columns = (withheld.load ? 1U : 0U) | (withheld.ambient ? 2U : 0U) |
                           (withheld.speed ? 4U : 0U) | (withheld.altitude ? 8U : 0U);
  const auto known = std::find_if(without_.begin(), without_.end(),
                                  [&](const WithoutColumns& w) { return w.columns == columns; });
  if (known != without_.end()) return known->band ? known->band : whole_;
  without_.push_back({columns, band_without(*whole_, withheld)});
  return without_.back().band ? without_.back().band : whole_;
}

std::vector<Trip> trips_of(const Recording& recording, const Conditioned& conditioned,
                           const GivenBand& given) {
  const SegmentOptions options = options_for(given);
  std::vector<Trip> trips = find_trips(recording, conditioned, options);
  for (Trip& trip : trips) settle_lower(trip, options, given);
  return trips;
}

void settle_trips(std::vector<Trip>& trips, const GivenBand& given) {
  const SegmentOptions options = options_for(given);
  for (Trip& trip : trips) {
    settle_trip(trip, options);
    settle_lower(trip, options, given);
  }
}

TripFinding judge_trip(const Recording& recording, Trip trip, const GivenBand& given,
                       const std::optional<VehicleProfile>& profile) {
  const std::optional<NormalBand>& band = given.as_logged(trip.blocks);
  TripFinding finding{std::move(trip), band, {}};
  if (!finding.band) finding.band = band_from_trip(finding.trip);
  finding.judgement = finding.band ? judge(recording, finding.trip, *finding.band, profile)
                                   : judge_without_band(recording, finding.trip, profile);
  return finding;
}

std::vector<TripFinding> analyse(const Recording& recording, const std::optional<NormalBand>& band,
                                 const std::optional<VehicleProfile>& profile) {
  const GivenBand given(band, profile);
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
