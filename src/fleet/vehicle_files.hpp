// SPDX-License-Identifier: Apache-2.0
// The band and the profile of a vehicle, found in the folder of bands or beside its logs.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "fleet/find_logs.hpp"
#include "fleet/own_band.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct VehicleFiles {
  std::optional<NormalBand> band;
  std::string fingerprint;     ///< of the band; empty without one
  std::optional<OwnMark> mark; ///< of a band that a fleet's run learned
  std::string band_path;
  std::string band_text;
  std::optional<VehicleProfile> profile;
  std::string profile_path;
  std::string profile_text;
  std::vector<Problem> problems; ///< with any, the vehicle cannot be judged

  /// Of both texts: the same files need not be understood again.
  [[nodiscard]] std::string hash() const;
};

/// Finds and reads the files; `understand` makes band and profile of them. `bands` may be empty.
/// The first that is there counts, in this order: BANDS/ID.band.json, then in and beside the
/// vehicle's folder; of the profile the same with ID.vehicle.json, vehicle.json and ID.json.
VehicleFiles files_of(const FleetPlan& plan, std::size_t vehicle, const std::string& bands);
void understand(VehicleFiles& files, const std::string& id);

/// Where a band learned of the vehicle goes.
std::string band_path_in(const std::string& bands, const std::string& id);

/// Takes a band that was just written.
void take_own_band(VehicleFiles& files, const NormalBand& band, OwnMark mark);

} // namespace coolband
