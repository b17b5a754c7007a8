// SPDX-License-Identifier: Apache-2.0
// From judged logs to the drives that a proof rests on.
#pragma once

#include "coolband/analyse.hpp"
#include "repair/verification.hpp"

#include <cstddef>
#include <vector>

namespace coolband {

/// One log, judged as `check` judges it.
struct JudgedLog {
  Recording recording;
  std::vector<TripFinding> findings;
};

struct RepairCase {
  const NormalBand& band;
  const std::optional<VehicleProfile>& profile;
  std::vector<JudgedLog> before;
  std::vector<JudgedLog> after;
  std::size_t unread = 0; ///< logs that could not be read
};

/// The drives, and where those after run at another level, the same once more by the band moved
/// there.
ProofDrives gather_drives(const RepairCase& repair, const VerifyOptions& options);

/// The band as it would be at another level, K higher: what its own circuit and openings say is
/// gone, what conditions do is kept.
NormalBand moved_band(const NormalBand& band, double shift_k,
                      const std::optional<double>& rating_c);

/// All of it. Needs a trip after.
Verification prove(const RepairCase& repair, const VerifyOptions& options);

} // namespace coolband
