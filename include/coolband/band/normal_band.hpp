// SPDX-License-Identifier: Apache-2.0
// What is normal for one vehicle: a centre, what load and ambient add to it, and how far normal
// running strays. Learned from summaries of drives, so that more drives can be added later without
// the old logs.
#pragma once

#include "coolband/band/vehicle_profile.hpp"
#include "coolband/core/result.hpp"
#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct Range {
  double low = 0.0;
  double high = 0.0;
};

/// All that the band keeps of one drive. Regulated (warm) blocks only.
struct DriveSummary {
  std::string source;           ///< file name, with the trip's number when the file holds several
  std::string start;            ///< instant as text; empty without a clock
  double warm_s = 0.0;          ///< s of warm running
  double level_c = 0.0;         ///< °C at the drive's own mean load
  double scatter_c = 0.0;       ///< K, robust spread about the drive's own fit
  double effective_count = 0.0; ///< independent looks among the warm blocks
  double correlation_s = 0.0;   ///< s between two independent looks
  double resolution_c = 0.0;    ///< K, step of the reading
  double hottest_c = 0.0;       ///< °C
  std::optional<double> load_mean_pct;
  std::optional<double> load_scatter_pct;
  std::optional<double> load_slope;       ///< K per % load
  std::optional<double> load_slope_error; ///< standard error, autocorrelation counted
  std::optional<Range> load_seen_pct;     ///< 5th to 95th percentile
  std::optional<double> ambient_mean_c;
  std::optional<Range> ambient_seen_c;
};

/// A drive that was not learned from, and why.
struct LeftOut {
  DriveSummary drive;
  std::string reason;
};

enum class BandOrigin { learned, profile, trip };
std::string_view name_of(BandOrigin origin);

struct NormalBand {
  BandOrigin origin = BandOrigin::learned;
  std::string vehicle;
  double centre_c = 0.0;                 ///< °C at the reference conditions
  double centre_error_c = 0.0;           ///< K, standard error of the centre
  std::optional<double> load_c_per_pct;  ///< K per % of lagged load
  std::optional<double> ambient_c_per_c; ///< K per K
  std::optional<double> reference_load_pct;
  std::optional<double> reference_ambient_c;
  double between_c = 0.0;        ///< K, standard deviation between drives
  double within_c = 0.0;         ///< K, standard deviation within a drive
  double half_width_c = 0.0;     ///< K: 95 % of normal running with 95 % confidence
  double freedom = 0.0;          ///< degrees of freedom behind the spread
  double correlation_s = 0.0;    ///< s between independent looks within a drive
  std::optional<double> opens_c; ///< start of opening, °C, from the profile
  std::optional<Range> load_seen_pct;
  std::optional<Range> ambient_seen_c;
  std::vector<DriveSummary> drives;
  std::vector<LeftOut> left_out;
  std::vector<std::string> notes; ///< what the band could not know, for a person
  std::string extra_json; ///< fields of the band file that this version does not know, kept as read

  /// sqrt(between² + within²)
  [[nodiscard]] double spread_c() const;
};

/// What the band expects under given conditions. Unknown conditions are taken at the reference.
/// Outside the range seen, the limits widen by the correction that had to be extrapolated.
struct Prediction {
  double centre_c = 0.0;
  double lower_c = 0.0;
  double upper_c = 0.0;
  bool extrapolated = false;
};
Prediction predict(const NormalBand& band, std::optional<double> load_pct,
                   std::optional<double> ambient_c);

struct LearnOptions {
  bool keep_all = false;       ///< learn from drives that do not look normal too
  double least_warm_s = 300.0; ///< shorter warm running tells too little
  double content = 0.95;       ///< share of normal running that the band shall hold
  double confidence = 0.95;
};

/// One drive in short. Error (kind input) when it has too little warm running.
Result<DriveSummary> summarise_drive(const Trip& trip, const std::string& source,
                                     const std::string& start, const LearnOptions& options = {});

/// Learns a band. The result depends on the set of drives only, not on their order or on how many
/// calls they came in. Errors (kind input): no drive; or drives that contradict each other so that
/// no majority is normal, unless `keep_all`. The profile, if any, gives id, rating and
/// plausibility.
Result<NormalBand> learn_band(std::vector<DriveSummary> drives, const std::string& vehicle,
                              const std::optional<VehicleProfile>& profile = std::nullopt,
                              const LearnOptions& options = {});

/// Stands in for a learned band. None when the profile states neither a normal nor a rating.
std::optional<NormalBand> band_from_profile(const VehicleProfile& profile);

/// Stands in where nothing is known but the trip itself. None when the trip never ran warm.
std::optional<NormalBand> band_from_trip(const Trip& trip);

} // namespace coolband
