// SPDX-License-Identifier: Apache-2.0
// What is normal for one vehicle: a centre, what the conditions add to it, and how far normal
// running strays. Learned from summaries of drives, so that more drives can be added later without
// the old logs.
#pragma once

#include "coolband/band/vehicle_profile.hpp"
#include "coolband/circuit/fitted_circuit.hpp"
#include "coolband/core/result.hpp"
#include "coolband/segment/trip.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct Range {
  double low = 0.0;
  double high = 0.0;
};

/// What is averaged over a drive's warm blocks. All but the coolant pass a first-order lag, since
/// the coolant follows what heats and cools it.
enum class Factor : std::uint8_t {
  coolant,   ///< °C
  load_20s,  ///< %; the lag between load and coolant is learned, so it is kept for three of them
  load_60s,  ///< %
  load_180s, ///< %
  speed,     ///< road speed, km/h, lag 60 s
  idle,      ///< share of the time at a standstill with the engine running, lag 60 s
  climb,     ///< height gained, m/min, lag 60 s
};
inline constexpr std::size_t k_factor_count = 7;
std::string_view name_of(Factor factor);

/// Weighted means and covariances of those factors that a log has.
struct Moments {
  std::vector<Factor> factors;    ///< ascending, coolant first
  std::vector<double> mean;       ///< one a factor
  std::vector<double> covariance; ///< lower triangle by rows; the divisor is the sum of weights
};

/// All that the band keeps of one drive. Regulated (warm) blocks only.
struct DriveSummary {
  std::string source;           ///< file name, with the trip's number when the file holds several
  std::string start;            ///< instant as text; empty without a clock
  double warm_s = 0.0;          ///< s of warm running
  double level_c = 0.0;         ///< °C at the drive's own mean conditions
  double scatter_c = 0.0;       ///< K, robust spread about the drive's own fit
  double effective_count = 0.0; ///< independent looks among the warm blocks
  double correlation_s = 0.0;   ///< s between two independent looks
  double resolution_c = 0.0;    ///< K, step of the reading
  double hottest_c = 0.0;       ///< °C
  Moments moments;
  std::optional<Range> load_seen_pct; ///< 5th to 95th percentile, as of the next two
  std::optional<Range> speed_seen_kmh;
  std::optional<Range> climb_seen_m_per_min;
  std::optional<double> ambient_mean_c;
  std::optional<Range> ambient_seen_c; ///< lowest to highest
  std::optional<WarmUp> warm_up;       ///< the drive's first, if it was a whole one
  Regulation regulation;
  CircuitDrive circuit;   ///< its beginning, block by block; empty in all but the latest drives
  std::string extra_json; ///< fields of the band file that this version does not know, kept as read
};

/// A drive that was not learned from, and why.
struct LeftOut {
  DriveSummary drive;
  std::string reason;
};

/// Drives that are too many to be kept one by one, as sums: enough to learn the same effects,
/// centre and spread from them again. Sound drives only, all with the same columns.
struct FoldedDrives {
  std::size_t count = 0;
  std::string first_start;
  std::string last_start;
  double warm_s = 0.0;
  double looks = 0.0;         ///< sum of the drives' effective counts
  double scatter_k2 = 0.0;    ///< mean square of the drives' scatter, by looks
  double scatter_k4 = 0.0;    ///< mean square of that square, by looks
  double explained_k2 = 0.0;  ///< mean square that each drive's own fit explained, by looks
  double correlation_s = 0.0; ///< mean
  double resolution_c = 0.0;  ///< coarsest
  Moments within;             ///< mean covariances within a drive, by looks; the means are unused
  Moments between;            ///< of the drives' means, each drive counting once
  std::optional<double> ambient_mean_c;
  double ambient_variance_k2 = 0.0;
  std::vector<double> ambient_covariance; ///< of the drives' ambient with each factor of `between`
  std::optional<Range> load_seen_pct;
  std::optional<Range> speed_seen_kmh;
  std::optional<Range> climb_seen_m_per_min;
  std::optional<Range> ambient_seen_c;
};

enum class BandOrigin { learned, profile, trip };
std::string_view name_of(BandOrigin origin);

/// What one condition adds, in K per unit beyond the reference.
struct Effect {
  double slope = 0.0;
  double error = 0.0; ///< standard error, drives counted, not rows
  double reference = 0.0;
  std::optional<Range> seen;
};

/// A figure of normal running that several drives agree on.
struct Trait {
  double value = 0.0;
  double error = 0.0;   ///< standard error of `value`
  double scatter = 0.0; ///< standard deviation from drive to drive
  std::size_t drives = 0;
};

/// How this vehicle warms up: the rise per minute, as a straight line over the conditions.
struct WarmUpNormal {
  Trait rate_k_per_min; ///< at the reference conditions
  std::optional<Effect> load;
  std::optional<Effect> ambient;
};

/// What else is normal, each where the drives show it.
struct Traits {
  std::optional<WarmUpNormal> warm_up;
  std::optional<Trait> opens_c; ///< first opening of the thermostat, as seen
  std::optional<Trait> amplitude_k;
  std::optional<Trait> period_s;
  std::optional<Trait> hottest_idle_c;
  std::optional<Trait> best_cooling_k_per_min;
  std::optional<Trait> dips_per_h;
  std::optional<Trait> roughness_k;
};

/// Normal readings change their course by half a kelvin and more from one ten seconds to the next:
/// 10 kW or more to and fro, all the time, over a usual engine's heat capacity. That is no
/// coolant's temperature alone, and no heat balance follows it.
bool is_restless(const Traits& traits);

/// The level moved from some drive on, beyond what chance does once in `k_drives_to_false_alarm`.
struct Drift {
  std::string since; ///< start (or source) of the first drive that lies off
  double shift_c = 0.0;
  std::size_t drives = 0; ///< drives since
};
/// Mean number of sound drives between two false alarms of the chart (two-sided CUSUM, k 0.5, h 5).
inline constexpr double k_drives_to_false_alarm = 465.0;

/// The band before a service, for comparison.
struct EarlierBand {
  std::size_t drives = 0;
  double centre_c = 0.0;
  double half_width_c = 0.0;
  double between_c = 0.0;
  double within_c = 0.0;
  std::optional<double> load_c_per_pct;
  std::optional<double> ambient_c_per_c;
  std::optional<double> reference_load_pct;
  std::optional<double> reference_ambient_c;
  std::optional<double> opens_c; ///< as seen
};

struct NormalBand {
  BandOrigin origin = BandOrigin::learned;
  std::string vehicle;
  double centre_c = 0.0;                 ///< °C at the reference conditions
  double centre_error_c = 0.0;           ///< K, standard error of the centre
  std::optional<double> load_c_per_pct;  ///< K per % of lagged load
  std::optional<double> ambient_c_per_c; ///< K per K
  double load_error_c_per_pct = 0.0;     ///< standard errors
  double ambient_error_c_per_c = 0.0;
  double load_lag_s = 60.0; ///< time constant between load and coolant
  std::optional<double> reference_load_pct;
  std::optional<double> reference_ambient_c;
  std::optional<Effect> speed; ///< K per km/h
  std::optional<Effect> idle;  ///< K between never and all the time
  std::optional<Effect> climb; ///< K per m/min
  double between_c = 0.0;      ///< K, standard deviation between drives
  double within_c = 0.0;       ///< K, standard deviation within a drive
  double half_width_c = 0.0;   ///< K: 95 % of normal running with 95 % confidence
  /// The half width over that at the reference, where the centre is worth n observations: at
  /// 1/√n = 0, 0.25, ... Empty: `half_width_c` everywhere.
  std::vector<double> widening;
  double freedom = 0.0;       ///< degrees of freedom behind the spread
  double correlation_s = 0.0; ///< s between independent looks within a drive
  double content = 0.95;      ///< what `half_width_c` stands for
  double confidence = 0.95;
  std::optional<double> opens_c; ///< start of opening, °C, from the profile
  std::optional<Range> load_seen_pct;
  std::optional<Range> ambient_seen_c;
  Traits traits;
  std::optional<FittedCircuit> circuit; ///< from the latest drives
  std::optional<Drift> drift;
  std::string since; ///< drives from before this instant are of another time; empty: none are
  std::optional<EarlierBand> earlier;
  std::vector<DriveSummary> drives; ///< by start; the latest of them, see `folded`
  std::vector<FoldedDrives> folded;
  std::vector<LeftOut> left_out;
  std::size_t left_out_before = 0; ///< drives left out so long ago that only their number is kept
  std::vector<std::string> notes;  ///< what the band could not know, for a person
  std::string extra_json; ///< fields of the band file that this version does not know, kept as read

  /// sqrt(between² + within²)
  [[nodiscard]] double spread_c() const;
  /// Drives that the band rests on, folded ones included.
  [[nodiscard]] std::size_t drive_count() const;
};

/// How far the centre lies above that of `earlier` at the same load and outside temperature, K.
double moved_since_c(const NormalBand& band, const EarlierBand& earlier);

/// What a moment of driving is like; what is not known is taken at the reference.
struct Conditions {
  std::optional<double> load_pct; ///< lagged by the band's `load_lag_s`
  std::optional<double> ambient_c;
  std::optional<double> speed_kmh; ///< lagged, as the rest
  std::optional<double> idle_share;
  std::optional<double> climb_m_per_min;
};

/// What the band expects under given conditions.
struct Prediction {
  double centre_c = 0.0;
  double lower_c = 0.0;
  double upper_c = 0.0;
  double effective_count = 0.0; ///< independent observations that the centre here is worth
  bool extrapolated = false;    ///< a condition lies outside what the drives have seen
};

/// Predicts, one for many moments. The further the conditions from the reference, the less the
/// centre is worth and the wider the limits; outside what was seen they also widen by the
/// correction that had to be extrapolated.
class Predictor {
 public:
  explicit Predictor(const NormalBand& band);
  [[nodiscard]] Prediction at(const Conditions& conditions) const;

 private:
  struct Sum;
  void add(Sum& sum, const std::optional<Effect>& effect, std::optional<double> value) const;
  [[nodiscard]] double widening(double effective_count) const;

  double centre_c_;
  double spread_c_;
  double half_width_c_;
  double centre_variance_k2_;
  std::vector<double> widening_;
  std::array<std::optional<Effect>, 5> effects_; ///< load, ambient, speed, idle, climb
};

Prediction predict(const NormalBand& band, const Conditions& conditions);

/// Regulation begins so far below the level: the tolerance of the start of opening (TM
/// 5-3825-229-14&P), as for the end of a warm-up.
inline constexpr double k_regulation_begins_k = 3.0;
/// How long this vehicle takes from such a start to regulation, s; none where the band does not
/// know, or the start is no cold one.
std::optional<double> expected_warm_up_s(const NormalBand& band, const WarmUp& warm_up);

/// Step of `NormalBand::widening` in 1/√n.
inline constexpr double k_widening_step = 0.25;

struct LearnOptions {
  bool keep_all = false;       ///< learn from drives that do not look normal too
  double least_warm_s = 300.0; ///< shorter warm running tells too little
  double content = 0.95;       ///< share of normal running that the band shall hold
  double confidence = 0.95;
  bool fit_circuit = true; ///< fit the thermal circuit, too: about 30 ms an hour of driving
  /// Only drives that start at or after this instant ("2031-05-06" or longer) make the band; those
  /// before it make `NormalBand::earlier`.
  std::string since;
};

/// One drive in short. Error (kind input) when it has too little warm running.
Result<DriveSummary> summarise_drive(const Trip& trip, const std::string& source,
                                     const std::string& start, const LearnOptions& options = {});

/// Learns a band. The result depends on the set of drives only, not on their order or on how many
/// calls they came in. Errors (kind input): no drive; drives that contradict each other so that no
/// majority is normal, unless `keep_all`; a level too wide or too cold to be anybody's normal. The
/// profile, if any, gives the thermostat's rating, which a note holds against the centre.
Result<NormalBand> learn_band(std::vector<DriveSummary> drives, const std::string& vehicle,
                              const std::optional<VehicleProfile>& profile = std::nullopt,
                              const LearnOptions& options = {});

/// Adds drives to a band. Up to `k_kept_drives` drives the result is that of learning from all of
/// them at once, and close to it beyond (within a tenth of the spread, docs/methods.md).
Result<NormalBand> update_band(const NormalBand& band, std::vector<DriveSummary> drives,
                               const std::optional<VehicleProfile>& profile = std::nullopt,
                               const LearnOptions& options = {});
/// Drives that a band keeps one by one; older ones are folded.
inline constexpr std::size_t k_kept_drives = 60;
/// The thermal circuit is fitted to the beginnings of so many drives, the latest: ten hours in all.
inline constexpr std::size_t k_circuit_drives = 15;
inline constexpr double k_circuit_beginning_s = 2400.0;

/// Stands in for a learned band. None when the profile states neither a normal nor a rating.
std::optional<NormalBand> band_from_profile(const VehicleProfile& profile);

/// Stands in where nothing is known but the trip itself. None when the trip never ran warm.
std::optional<NormalBand> band_from_trip(const Trip& trip);

} // namespace coolband
