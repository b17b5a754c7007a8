// SPDX-License-Identifier: Apache-2.0
// One drive before or after a repair, as far as the proof needs it.
#pragma once

#include "coolband/analyse.hpp"
#include "repair/moment.hpp"
#include "repair/situation.hpp"
#include "repair/trace.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coolband {

enum class Showing {
  clean,       ///< judged normal
  shows,       ///< a fault is named
  doubtful,    ///< none is named, but the band was left without an explanation
  cannot_tell, ///< could not be judged
};
std::string_view name_of(Showing showing);

/// In the order of Condition (normal .. sensor_fault).
using CauseProbabilities = std::array<double, k_cause_count>;

struct ProofWarmUp {
  double from_c = 0.0;
  std::optional<double> reached_s;
  double expected_s = 0.0; ///< by the band, for this load and weather
  bool given_time = false; ///< the log goes on long enough to have seen the end
};

struct ProofDrive {
  std::string source; ///< file name, with the trip's number when the file holds several
  std::string path;   ///< of the log, as it was given
  std::string start;  ///< instant as text; empty without a clock
  std::optional<Moment> at;
  double duration_s = 0.0;
  Condition condition = Condition::undetermined;
  double confidence = 0.0;
  Action action = Action::none;
  std::string headline;
  Showing showing = Showing::cannot_tell;
  double judged_s = 0.0;
  /// K, mean of reading less what the band expects for load, weather and the rest, over warm
  /// running within the conditions that the band has seen, or near them; stretches that load,
  /// weather or a stop explain are left out. None where less than five minutes are left, or the
  /// sensor is at fault.
  std::optional<double> residual_k;
  std::optional<double> level_c; ///< °C, the band's centre and that: at the reference conditions
  std::optional<double> hottest_c;
  std::optional<double> ambient_c;
  std::optional<ProofWarmUp> warm_up; ///< the first from cold that the band can foretell
  std::optional<double> opened_c;     ///< °C, first opening as seen
  std::optional<double> amplitude_k;  ///< of a regular swing
  std::size_t dips = 0;               ///< warm
  std::size_t dips_shut = 0;          ///< while the thermostat is shut
  bool learned = false;               ///< the band was learned from it: normal by itself
  std::optional<Situation> situation; ///< where the fault showed
  /// Why it could not have shown a fault of before, by fault; those that it could have are not in
  /// it.
  std::vector<std::pair<Condition, std::string>> unable;
  CauseProbabilities probability{}; ///< of each cause, by the verdict
  std::optional<Pace> shut_pace;    ///< see `shut_pace_of`
  std::optional<DriveTrace> trace;  ///< of a drive after, where a fault is known from before

  /// It began where another one had just ended: the same outing, and no observation of its own.
  bool continues = false;

  /// Whether it tells anything by itself.
  [[nodiscard]] bool counts() const { return !learned && !continues; }
  [[nodiscard]] bool could_show(Condition fault) const;
  /// 0 for what is no cause, as overheating.
  [[nodiscard]] double probability_of(Condition cause) const;
};

/// `source`, `start` and what a drive shows by itself. `band` is what it was judged by.
ProofDrive proof_drive(const TripFinding& finding, const NormalBand& band);

/// By date where all have one, else as they came; those that continue another are marked.
void put_in_order(std::vector<ProofDrive>& drives);

} // namespace coolband
