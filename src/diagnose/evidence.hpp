// SPDX-License-Identifier: Apache-2.0
// What was observed, as evidence: each observation with its likelihood under every cause.
#pragma once

#include "coolband/diagnose/judgement.hpp"
#include "diagnose/deviations.hpp"
#include "diagnose/frozen.hpp"
#include "diagnose/steps.hpp"
#include "diagnose/usual_opening.hpp"
#include "diagnose/warm_up_time.hpp"
#include "segment/dips.hpp"

#include <optional>
#include <vector>

namespace coolband {

/// Order of every likelihood row: normal, stuck open, stuck closed, sticking, fan, radiator, flow,
/// air, sensor (the first k_cause_count values of Condition).
using Likelihood = std::array<double, k_cause_count>;

/// How large a share of the warm running lies outside the band on one side, without explanation.
enum class Excursion { none, slight, part, lasting };

struct Observed {
  Excursion below = Excursion::none;
  Excursion above = Excursion::none;
  double below_s = 0.0; ///< s in unexplained episodes below
  double above_s = 0.0;
  double below_mean_c = 0.0; ///< K, mean deviation over them
  double above_mean_c = 0.0;
  double explained_low_s = 0.0; ///< by what hides a valve that hangs open
  /// Readings, the warm-up's among them, lie as near to this vehicle's own heat balance as in its
  /// normal drives.
  bool fits_circuit = false;
  double circuit_s = 0.0; ///< s of them
  bool trusted = false;   ///< the vehicle's own circuit, and a log of all that heats and cools it
  bool beyond_regulation = false; ///< so hot that no thermostat regulates any more
  bool load_logged = false;
  bool circuit_known = false; ///< this vehicle's own circuit was held against what left its band
  bool circuit_asked = false; ///< a circuit was, if only the usual one in made-up weather
  /// Above the band within minutes of coming to the level, and for most of the running since.
  bool hot_from_arrival = false;
  /// K between the 5th and the 95th percentile of the readings above the band, where they last for
  /// a quarter of an hour and hold one level, only too high a one; without a load column only
  /// where they are hot from their arrival on; else none.
  std::optional<double> holds_high_k;
  double hot_s = 0.0; ///< s of them
  SeenOpening opening;
  std::optional<WarmUpTime> warm_up;
};

/// Whether the time of the warm-up is evidence beside the rest. The vehicle's own circuit has seen
/// it. Where it was low once warm, one that never came to its level tells of that level again, and
/// one that may have idled of the same idling, as it does where a circuit was asked.
bool tells_by_warm_up(const Observed& observed);
/// By its time, or by the vehicle's own circuit.
inline bool warm_up_counts(const Observed& observed) {
  return observed.trusted || tells_by_warm_up(observed);
}

/// So much of the warm running is low and explained that it would hide a valve that hangs open.
bool hides_low_running(const Observed& observed, double judged_s);

Observed observe(const std::vector<Episode>& episodes, const Trip& trip,
                 const Deviations& deviations, BandOrigin origin);

/// What the reading did that coolant cannot do.
struct ReadingFaults {
  Dips dips;
  std::optional<FlatStretch> frozen;
  Steps steps;
};

/// All evidence that the trip's columns allow. Where the thermal circuit speaks, levels count for
/// less: it has seen them, too. The tables' numbers are judgement, given
/// in docs/methods.md; their order of size is what matters.
std::vector<Evidence> gather_evidence(const Observed& observed, const Trip& trip,
                                      const NormalBand& band, const std::vector<Episode>& episodes,
                                      const Deviations& deviations, const ReadingFaults& reading);

} // namespace coolband
