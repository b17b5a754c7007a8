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
  std::vector<RouteLeg> legs;
  double minutes = 0.0;
  std::vector<ColumnToLog> columns;
  std::vector<std::string> conditions; ///< weather, start, what must be comparable
  /// Clean drives after the work; none for a plan without work, and where more than `k_most_drives`
  /// would be needed.
  std::optional<std::size_t> drives;
  std::optional<double> chance_left; ///< that the fault was missed in all of them
  Showing showing;                   ///< what `drives` rests on where no share was given
  std::optional<double> share;       ///< of drives that show it, as the user says
  double miss = 0.05;                ///< what `chance_left` may be
};
inline constexpr std::size_t k_most_drives = 200;

/// Chance that `clean` further drives all miss a fault that is still there. With a known share p of
/// drives that show it: (1 - p)^clean. By count, with an even prior on p:
/// B(s + 1, n - s + 1 + clean)/B(s + 1, n - s + 1), so that one drive does not make p 1.
double missed_by_share(double share, std::size_t clean);
double missed_by_count(const Showing& showing, std::size_t clean);

struct ProofQuestion {
  Showing showing;
  std::optional<double> share; ///< 0..1
  double miss = 0.05;          ///< 0..1
};

/// For work that cures `fault`.
ProvingRun proving_run(Condition fault, const ReportedTrip& trip, const ProofQuestion& question);

/// For a trip that left the question open, or found nothing: the drive that tells most.
ProvingRun telling_run(const ReportedTrip& trip);

} // namespace coolband
