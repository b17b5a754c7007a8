// SPDX-License-Identifier: Apache-2.0
// How a fleet is judged.
#pragma once

#include "coolband/import/import_log.hpp"

#include <cstddef>
#include <cstdint>
#include <string>

namespace coolband {

/// A vehicle's own trips make a band from so many usable ones on: of fewer none could be told to be
/// the odd one (common practice, no source).
inline constexpr std::size_t k_least_drives = 3;
/// So many of the latest trips say how a vehicle stands: a fault that comes and goes need not show
/// in the last one, and one that was mended should be forgotten soon (common practice, no source).
inline constexpr std::size_t k_recent_trips = 5;

struct FleetSettings {
  ImportOptions import;
  std::string bands;    ///< folder of bands and profiles; learned bands go there; may be empty
  bool learn = true;    ///< learn bands that are missing
  bool relearn = false; ///< learn again the bands that a fleet's run learned
  bool rehash = false;  ///< look into every log, though its stamp says that it is the same
  std::size_t recent = k_recent_trips;
  std::string pages;          ///< folder of pages of trips; empty: none are written
  bool pages_for_all = false; ///< also of trips with nothing to do
  bool want_reports = false;  ///< the reports are handed over, not only the records
  /// When the run began, by the clock that stamps files, ns. A log changed at or after 2 s before
  /// that is looked into again next time.
  std::int64_t began_ns = 0;
};

} // namespace coolband
