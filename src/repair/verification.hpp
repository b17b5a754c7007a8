// SPDX-License-Identifier: Apache-2.0
// Did the repair work? Three answers, each with its reasons: the fault is gone and the vehicle is
// back to its normal (or to a new one), it is not, or the drives do not tell yet.
#pragma once

#include "numeric/equivalence.hpp"
#include "numeric/proportion.hpp"
#include "repair/missed_fault.hpp"
#include "repair/proof_drive.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// In the order of gravity, as --fail-on takes them.
enum class VerifyState { verified, not_yet, not_verified };
std::string_view name_of(VerifyState state);

struct VerifyOptions {
  double allowed_miss = 0.05;     ///< chance of having missed the fault that is accepted, 0..1
  double alpha = 0.05;            ///< of each one-sided test
  std::optional<double> margin_k; ///< none: `usual_margin_k`
  std::optional<double> shows;    ///< share of drives in which the fault showed, if known, 0..1
  std::optional<double> rating_c; ///< start of opening stamped on the thermostat fitted
  /// Found by hand: it showed in each drive before that was not found to be sound.
  std::optional<Condition> fault;
};

/// What counts as the same level: the published tolerance of a thermostat's start of opening, 3 K
/// (TM 5-3825-229-14&P), or twice the spread between this vehicle's own drives, if that is more.
double usual_margin_k(const NormalBand& band);

/// The drives after the repair, judged once more by the band moved to their own level.
struct MovedNormal {
  double shift_k = 0.0;
  double level_c = 0.0;
  std::vector<ProofDrive> drives;
};

struct ProofDrives {
  std::vector<ProofDrive> before;
  std::vector<ProofDrive> after;
  /// Where the level after is off by more than the margin.
  std::optional<MovedNormal> moved;
  std::size_t unread = 0; ///< logs that could not be read
};

/// Nats; about 150 to 1, where the drives together are held against a sound vehicle.
inline constexpr double k_telling_trace = 5.0;

/// Does the fault still show?
struct FaultCheck {
  std::vector<Condition> before; ///< faults named before, the most frequent first
  ShowingRate rate;
  std::optional<ShareInterval> share; ///< Wilson, 95 %
  std::vector<std::size_t> shows;     ///< which drives after show a fault
  std::size_t clean = 0;              ///< clean ones that could have shown it, since the suspect
  std::size_t unable = 0;             ///< that could not
  std::size_t doubtful = 0;
  /// The latest drive that could not be judged and in which the fault is not unlikely.
  std::optional<std::size_t> suspect;
  /// Of the drives after together, nats: that a lesser fault of the kind is left, beyond that none
  /// is. None where no drive could be weighed.
  std::optional<double> trace;
  std::size_t trace_drives = 0;
  std::optional<double> missed;    ///< chance that the fault is there and was missed
  std::optional<std::size_t> more; ///< clean drives that are still needed
  std::string wanted;              ///< of which kind; may be empty
  /// Of several faults the one whose cure is shown least: what `rate` and all below it are of. None
  /// where no drive before shows a fault.
  std::optional<Condition> hardest;

  /// A lesser fault of the same kind is by far the likelier.
  [[nodiscard]] bool leaves_a_trace() const { return trace.value_or(0.0) >= k_telling_trace; }
  /// Found by hand, and no drive before shows it: each was sound or has another fault.
  std::optional<Condition> unshown;

  [[nodiscard]] bool known() const { return rate.shown > 0 || rate.share.has_value(); }
  /// How often it showed is said, but not where: no drive is known to be able to show it.
  [[nodiscard]] bool blind() const { return rate.share.has_value() && !hardest; }
};

enum class LevelOutcome {
  unknown,    ///< no drive tells a level
  open,       ///< too few drives to tell
  usual,      ///< shown to be that of the band
  new_normal, ///< another one, but steady and healthy
  off,        ///< another one, and not healthy
};
std::string_view name_of(LevelOutcome outcome);

/// Does it run where it should? One drive is one observation.
struct LevelCheck {
  LevelOutcome outcome = LevelOutcome::unknown;
  double margin_k = 0.0;
  std::size_t drives = 0;
  Equivalence against_band;          ///< drives after less the band, K
  std::optional<double> level_c;     ///< °C, mean of the drives after
  std::optional<Equivalence> before; ///< drives before less the band
  std::optional<Equivalence> change; ///< after less before, where both have two drives
  std::size_t more = 0;              ///< drives that are still needed, about
  std::string objection;             ///< what keeps another level from being a new normal
  /// The drives after are judged by the moved band: a new normal, or one that may yet prove to be.
  bool by_moved = false;
  /// However many drives more, the band's own centre is known too badly.
  bool band_limits = false;
  /// The band was learned since the repair: a fault that was not cured is normal by it.
  bool by_itself = false;
};

/// Simulated vehicles that are sound warm up at 0.97 to 1.07 of their pace on the mean of their
/// drives, with a valve left half as far open as before at 0.75 to 0.9 (docs/methods.md).
inline constexpr double k_least_pace = 0.9;

enum class WarmUpOutcome { unknown, not_seen, open, usual, slow };
std::string_view name_of(WarmUpOutcome outcome);

/// Does it warm up as it did? A valve that hangs a little open shows in nothing else. Taken to
/// usual time, a warm-up one observation; what this vehicle's warm-ups differ by is known from its
/// band as well. Usual where the 95 % upper limit of the mean is allowed, slow where the lower one
/// is not.
struct WarmUpCheck {
  WarmUpOutcome outcome = WarmUpOutcome::unknown;
  std::size_t seen = 0;
  std::size_t endless = 0;             ///< that had time to come to their level and did not
  double allowed_ratio = 0.0;          ///< of taken to usual time
  std::optional<double> ratio;         ///< mean of those that came to their level
  std::optional<Range> ratio_interval; ///< 90 %
  /// From 50 °C to the start of opening, where the valve must be shut: what a sound vehicle takes
  /// over what these drives took, mean. None where the vehicle's circuit does not tell it.
  std::optional<double> pace;
  std::optional<Range> pace_interval; ///< 90 %
  std::size_t paced = 0;

  [[nodiscard]] bool leaks() const { return pace_interval && pace_interval->high < k_least_pace; }
  [[nodiscard]] bool may_leak() const { return pace_interval && pace_interval->low < k_least_pace; }
};

/// Is air still about? Signs in the latest two drives count: air leaves over several warm-ups (TM
/// 5-4210-230-14&P-1).
struct AirCheck {
  std::vector<std::string> signs; ///< "2031-05-07.csv: the reading dips 4 times once warm"
  bool recent = false;            ///< some of them in the latest two drives
  std::optional<double> drift_k;  ///< from the first drive to the last, where the level moves
};

/// One of the questions, answered.
struct CheckLine {
  std::string_view name;                                    ///< "fault", "level", "warm-up", "air"
  std::optional<VerifyState> state = VerifyState::verified; ///< none: it cannot be asked
  std::string text;
};

struct Verification {
  VerifyState state = VerifyState::not_yet; ///< the gravest of the checks
  std::string headline;
  std::vector<std::string> reasons; ///< texts of the checks that the state rests on
  std::vector<CheckLine> checks;
  std::vector<std::string> limits; ///< what could not be known
  std::vector<std::string> next_steps;
  std::vector<std::string> cautions;
  FaultCheck fault;
  LevelCheck level;
  WarmUpCheck warm_up;
  AirCheck air;
  ProofDrives drives;
  VerifyOptions options;
};

/// The drives after as they were judged in the end (see `LevelCheck::by_moved`).
const std::vector<ProofDrive>& judged_after(const Verification& verification);

/// The judgement alone, from drives that are measured already. Needs a drive after.
Verification verify(ProofDrives drives, const NormalBand& band, const VerifyOptions& options);

// The parts of it.
LevelCheck check_level(const ProofDrives& drives, const NormalBand& band,
                       const VerifyOptions& options);
/// `after` is what the drives after were judged as (see `LevelCheck::by_moved`).
FaultCheck check_fault(const ProofDrives& drives, const std::vector<ProofDrive>& after,
                       const VerifyOptions& options);
WarmUpCheck check_warm_ups(const std::vector<ProofDrive>& after, const NormalBand& band);
AirCheck check_air(const std::vector<ProofDrive>& after, const NormalBand& band, double margin_k);

} // namespace coolband
