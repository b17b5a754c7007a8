// SPDX-License-Identifier: Apache-2.0
// What a trip says about the cooling system: episodes, evidence for and against each cause,
// verdict.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// The names are part of the contract (`name_of`). Up to `sensor_fault` these are causes with a
/// probability; `overheating` and `undetermined` are verdicts only.
enum class Condition {
  normal,
  thermostat_stuck_open,
  thermostat_stuck_closed,
  thermostat_sticking,
  fan_not_cooling,
  radiator_restricted,
  coolant_flow_low,
  air_or_low_coolant,
  sensor_fault,
  overheating,
  undetermined,
};
inline constexpr std::size_t k_cause_count = 9; ///< normal .. sensor_fault

enum class Explanation {
  none,
  heavy_load,
  cold_weather,
  hot_weather,
  warm_up,
  restart,
  slow_running
};
enum class Action { none, monitor, service, stop };
enum class Direction { below, above, erratic };

std::string_view name_of(Condition condition);
std::string_view name_of(Explanation explanation); ///< empty for none
std::string_view name_of(Action action);
std::string_view name_of(Direction direction);

/// A stretch in which the coolant left the band (or the sensor left reality).
struct Episode {
  double start_s = 0.0; ///< s from the trip's first row
  double end_s = 0.0;
  std::size_t first_row = 0; ///< index into the recording
  std::size_t last_row = 0;
  Direction direction = Direction::below;
  double extreme_c = 0.0;         ///< °C, farthest reading
  double worst_deviation_c = 0.0; ///< K from what the band expects, signed
  double mean_deviation_c = 0.0;  ///< K, signed
  double threshold_c = 0.0;       ///< K, mean entry threshold over the episode; 0 when erratic
  double logged_s = 0.0; ///< s of its blocks; less than end - start where the log has holes
  std::optional<double> load_pct; ///< mean over the episode
  std::optional<double> ambient_c;
  std::optional<double> speed_kmh;
  std::optional<double> expected_c; ///< °C, mean of what the band expects; none when erratic
  std::optional<double> observed_c; ///< °C, mean reading
  /// °C, mean of what a sound vehicle would have read in this weather and driving, by its thermal
  /// circuit; none where the circuit could not be run.
  std::optional<double> sound_c;
  Condition cause = Condition::undetermined;
  double confidence = 0.0;
  Explanation explained_by = Explanation::none;
};

/// One observation about a trip and how likely it is under each cause.
struct Evidence {
  std::string text;
  std::array<double, k_cause_count> likelihood{}; ///< P(observation | cause), > 0
};

/// One account of the whole trip, by the thermal circuit: the vehicle as it is known with one thing
/// wrong, as badly as fits the readings best.
struct Hypothesis {
  Condition condition = Condition::normal;
  std::string what;         ///< "the valve does not shut below 30 % of its stroke"
  double misfit_k = 0.0;    ///< K, robust scatter of reading less prediction
  double log_evidence = 0;  ///< nats beyond the sound vehicle's; > 0 speaks for it
  double active_share = 1;  ///< of the time judged in which the fault is at work
  bool regulates = false;   ///< it holds a level as a sound vehicle does, only another one
  bool passes_shut = false; ///< coolant reaches the radiator while the valve should be shut
};

struct Cause {
  Condition condition = Condition::normal;
  double probability = 0.0;
  std::vector<std::string> evidence_for;
  std::vector<std::string> evidence_against;
  std::vector<std::string> confirm_by; ///< physical checks that separate it from its rivals
};

struct Boiling {
  std::optional<double> point_c;  ///< °C; none when the mix is beyond the tables
  std::optional<double> margin_c; ///< K between the hottest reading and boiling
  std::vector<std::string> assumptions;
};

enum class CriterionOutcome { met, below, not_evaluated };
std::string_view name_of(CriterionOutcome outcome);

/// Where the nominal regulating temperature of a vehicle comes from, the best source first.
enum class NominalSource { rating, fitted_opening, band_centre, unknown };
std::string_view name_of(NominalSource source);

/// The regulation's criterion for a thermostat that lets the engine run too cold: 11 °C (20 °F)
/// below the nominal regulating temperature (13 CCR 1968.2 (e)(10); section from memory).
struct RegulationCheck {
  std::optional<double> nominal_c; ///< °C; none when neither profile nor band tells it
  NominalSource nominal_from = NominalSource::unknown;
  std::optional<double> limit_c;   ///< °C
  std::optional<double> reached_c; ///< °C, the warmest that was held for a minute
  CriterionOutcome outcome = CriterionOutcome::not_evaluated;
  std::vector<std::string> because; ///< every reason why it was not evaluated; else what stood in
};

/// A code of a public standard that the finding corresponds to; the vehicle need not have set it.
struct StandardCode {
  std::string system; ///< "SAE J2012" or "SAE J1939"
  std::string code;   ///< "P0128", "SPN 110 FMI 17"
  std::string title;
  std::string why;
};

struct Judgement {
  Condition condition = Condition::undetermined;
  double confidence = 0.0; ///< 0..1
  Action action = Action::none;
  std::string headline;
  std::vector<std::string> reasons;
  std::vector<std::string> limits; ///< what could not be known, and why
  std::vector<Cause> causes;       ///< most probable first; probabilities sum to 1
  std::vector<Evidence> evidence;  ///< all that the causes rest on
  /// Best first; empty where the circuit could not be held against the trip.
  std::vector<Hypothesis> hypotheses;
  std::vector<Episode> episodes; ///< in time order
  Boiling boiling;
  RegulationCheck regulation;
  std::vector<StandardCode> codes;
  double judged_s = 0.0;               ///< s of warm running that could be judged
  double beyond_seen_s = 0.0;          ///< part of it under conditions that the band has not seen
  std::optional<double> share_in_band; ///< of the judged time
  std::optional<double> median_c;      ///< °C over the warm blocks
  std::optional<double> p05_c;
  std::optional<double> p95_c;
  std::optional<double> hottest_c; ///< hottest believable reading of the trip
};

/// What is known besides the log. `half_width` floors and lengths: see docs/methods.md.
struct JudgeOptions {
  /// K. A deviation within the published tolerance of a thermostat's start of opening (3 °C,
  /// TM 5-3825-229-14&P) is never an episode, however narrow the band.
  double least_deviation_c = 3.0;
  double leave_share = 0.5; ///< an episode ends within this share of the entry threshold
  double shortest_s = 60.0; ///< s, bounds of the least length of an episode
  double longest_s = 300.0;
  double least_judged_s = 300.0; ///< s of warm running below which nothing is claimed
};

Judgement judge(const Recording& recording, const Trip& trip, const NormalBand& band,
                const std::optional<VehicleProfile>& profile, const JudgeOptions& options = {});

/// For a trip that no band can serve (it never ran warm): undetermined, with the reason.
Judgement judge_without_band(const Recording& recording, const Trip& trip,
                             const std::optional<VehicleProfile>& profile);

} // namespace coolband
