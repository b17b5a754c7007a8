// SPDX-License-Identifier: Apache-2.0
// The drives that prove a repair: where, how long, what to log, and how many until it is unlikely
// that the fault is merely hiding.
#pragma once

#include "repair/reported_trip.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

struct RouteLeg {
  std::string what;
  double minutes = 0.0;
};

struct ColumnToLog {
  std::string role; ///< "load"
  std::string why;
  bool logged_before = false;
};

struct ProvingRun {
  std::string not_before; ///< what must be done first; may be empty
  std::vector<RouteLeg> legs;
  double minutes = 0.0;
  std::vector<ColumnToLog> columns;
  std::vector<std::string> conditions; ///< weather, start, what must be comparable
  /// Clean drives after the work; none for a plan without work, where no reported drive showed the
  /// fault, and where a thousand are too few.
  std::optional<std::size_t> drives;
  std::optional<double> chance_left; ///< that the fault was missed in all of them
  ShowingRate rate;                  ///< what `drives` rests on
  double miss = 0.05;                ///< what `chance_left` may be
};

/// For work that cures `fault`, which showed at `rate`; `miss` 0..1 is the chance of having missed
/// it that is accepted. The number of drives is that of `coolband verify`.
ProvingRun proving_run(Condition fault, const ReportedTrip& trip, const ShowingRate& rate,
                       double miss);

/// For a trip that left the question open, or found nothing: the drive that tells most.
ProvingRun telling_run(const ReportedTrip& trip);

} // namespace coolband
