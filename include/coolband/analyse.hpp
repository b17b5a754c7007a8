// SPDX-License-Identifier: Apache-2.0
// The whole judgement on one page.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/condition/condition.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/import/recording.hpp"
#include "coolband/segment/trip.hpp"

#include <deque>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct TripFinding {
  Trip trip;
  std::optional<NormalBand> band; ///< what it was judged by; none when nothing could serve
  Judgement judgement;
};

/// What a vehicle's trips are cut and judged by: the band, else the one that stands in from the
/// profile; none where neither is known.
class GivenBand {
 public:
  GivenBand() = default;
  explicit GivenBand(const std::optional<NormalBand>& band,
                     const std::optional<VehicleProfile>& profile = std::nullopt);

  [[nodiscard]] const std::optional<NormalBand>& whole() const { return whole_; }
  /// For a log that lacks columns by which the band corrects: as its drives would have taught it
  /// without them. Found when it is first wanted, so not by several threads at a time.
  [[nodiscard]] const std::optional<NormalBand>& as_logged(const Blocks& blocks) const;

 private:
  struct WithoutColumns {
    unsigned columns = 0; ///< that are lacking, a bit each
    std::optional<NormalBand> band;
  };

  std::optional<NormalBand> whole_;
  mutable std::deque<WithoutColumns> without_; ///< those handed out stay where they are
};

/// A recording's trips.
std::vector<Trip> trips_of(const Recording& recording, const Conditioned& conditioned,
                           const GivenBand& given);
/// Trips that were found without a band, as `trips_of` finds them with `given`.
void settle_trips(std::vector<Trip>& trips, const GivenBand& given);
/// One of those trips.
TripFinding judge_trip(const Recording& recording, Trip trip, const GivenBand& given,
                       const std::optional<VehicleProfile>& profile);

/// Judges every trip of a recording: by `band`, else by `profile`, else by the trip itself.
std::vector<TripFinding> analyse(const Recording& recording, const std::optional<NormalBand>& band,
                                 const std::optional<VehicleProfile>& profile);

/// One entry a trip: its summary, or why it cannot be learned from.
struct LearningDrive {
  std::string source;
  Result<DriveSummary> summary;
};
std::vector<LearningDrive> summarise_drives(const Recording& recording,
                                            const LearnOptions& options = {});
/// The same with less memory for a long log: the rows are gone once they have been measured.
std::vector<LearningDrive> summarise_drives(Recording&& recording,
                                            const LearnOptions& options = {});
/// The same of trips that were found without a band; of recordings of several vehicles only the
/// trips of `vehicle`, where it is not null.
std::vector<LearningDrive> summarise_drives(const Recording& recording,
                                            const std::vector<Trip>& trips,
                                            const std::string* vehicle,
                                            const LearnOptions& options = {});

} // namespace coolband
