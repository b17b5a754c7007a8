// SPDX-License-Identifier: Apache-2.0
// Does it run where it should? Equivalence by drive, or another level that is as good.
#include "repair/verification.hpp"

#include "band/history.hpp"
#include "diagnose/plain_name.hpp"
#include "diagnose/verdict.hpp"
#include "numeric/distributions.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/core.h>

namespace coolband {

namespace {

/// A level is told no better than this from drive to drive, whatever the drives say, K (as for the
/// drift of a band).
constexpr double k_least_spread_k = 0.25;
constexpr double k_tolerance_k = 3.0;
constexpr std::size_t k_most_more = 30;
/// A new level needs so many drives to be called steady.
constexpr std::size_t k_steady_drives = 3;
/// From the tolerance of the start of opening to fully open, K (TM 5-3825-229-14&P: start within
/// 3 °C, full at +12 °C).
constexpr Range k_above_rating_k{-3.0, 12.0};

std::vector<double> residuals_of(const std::vector<ProofDrive>& drives) {
  std::vector<double> values;
  for (const ProofDrive& drive : drives) {
    if (drive.residual_k && drive.counts()) values.push_back(*drive.residual_k);
  }
  return values;
}

/// The day of the latest drive with the fault; empty without dates.
std::string fault_day(const std::vector<ProofDrive>& before) {
  std::string latest;
  for (const ProofDrive& drive : before) {
    if (drive.showing == Showing::shows)
      latest = std::max(latest, day_of(drive.start).value_or(""));
  }
  return latest;
}

/// Nothing in the band is from before the fault.
bool learned_since(const NormalBand& band, const std::string& fault_day) {
  if (fault_day.empty() || band.drives.empty()) return false;
  std::string first = day_of(band.since).value_or("");
  for (const DriveSummary& drive : band.drives) {
    const auto day = day_of(drive.start);
    if (!day) return false;
    first = first.empty() ? *day : std::min(first, *day);
  }
  return first > fault_day;
}

/// A few drives that agree by luck are known no better than this vehicle's drives differ.
MeanEstimate estimate(const std::vector<double>& values, const NormalBand& band) {
  MeanEstimate result = mean_estimate(values);
  const double spread_k = std::max(k_least_spread_k, band.between_c);
  if (values.size() > 1)
    result.error = std::max(result.error, spread_k / std::sqrt(static_cast<double>(values.size())));
  return result;
}

/// Drives less the band. What drives differ by is one thing, known from those that made the band
/// and from these alike: their degrees of freedom add up (the pooled t; Welch's would take a band
/// of two drives for one that knows nothing, and get worse with every good drive).
Equivalence against_band(const MeanEstimate& drives, const NormalBand& band, double margin_k,
                         double alpha) {
  MeanEstimate difference = drives;
  difference.error = std::hypot(drives.error, band.centre_error_c);
  if (drives.freedom > 0.0)
    difference.freedom += std::max(0.0, static_cast<double>(band.drive_count()) - 1.0);
  return two_one_sided_tests(difference, {0.0, 0.0, 0.0}, margin_k, alpha);
}

/// Drives until the interval would lie within the margin, if the next ones are like these; none
/// where no number of them will do.
std::optional<std::size_t> more_drives(const LevelCheck& check, const MeanEstimate& after,
                                       const NormalBand& band, double alpha) {
  const std::size_t count = check.drives;
  const double own_k = count > 1 ? after.error * std::sqrt(static_cast<double>(count)) : 0.0;
  MeanEstimate foretold;
  foretold.mean = count > 0 ? after.mean : 0.0;
  const double spread_k = std::max({own_k, band.between_c, k_least_spread_k});
  for (std::size_t n = std::max<std::size_t>(count + 1, 2); n <= count + k_most_more; ++n) {
    foretold.error = spread_k / std::sqrt(static_cast<double>(n));
    foretold.freedom = static_cast<double>(n) - 1.0;
    if (against_band(foretold, band, check.margin_k, alpha).p() < alpha) return n - count;
  }
  return std::nullopt;
}

/// The side on which most of the faults before lay.
std::optional<Direction> side_before(const std::vector<ProofDrive>& before) {
  int below = 0;
  int above = 0;
  for (const ProofDrive& drive : before) {
    if (!drive.situation) continue;
    below += drive.situation->direction == Direction::below ? 1 : 0;
    above += drive.situation->direction == Direction::above ? 1 : 0;
  }
  if (below == above) return std::nullopt;
  return below > above ? Direction::below : Direction::above;
}

/// Where a thermostat of a rating holds this vehicle, °C: as far above it as the old one did, give
/// or take the margin, where the old one's rating is known; else anywhere between the tolerance of
/// its start of opening and fully open.
Range levels_of(double rating_c, const NormalBand& band, const LevelCheck& check) {
  if (!band.opens_c) return {rating_c + k_above_rating_k.low, rating_c + k_above_rating_k.high};
  const double usual_c = rating_c + band.centre_c - *band.opens_c;
  return {usual_c - check.margin_k, usual_c + check.margin_k};
}

/// Why another level cannot be a sound vehicle's; empty where it can.
std::string against_new_normal(const LevelCheck& check, const ProofDrives& drives,
                               const NormalBand& band, const VerifyOptions& options) {
  const MovedNormal& moved = *drives.moved;
  if (options.rating_c) {
    const Range holds = levels_of(*options.rating_c, band, check);
    if (moved.level_c < holds.low || moved.level_c > holds.high)
      return fmt::format("a thermostat stamped {:.0f} °C holds {:.0f} to {:.0f} °C in this vehicle",
                         *options.rating_c, holds.low, holds.high);
  }
  const bool usual_class =
      moved.level_c >= k_usual_levels_c.low && moved.level_c <= k_usual_levels_c.high;
  if (!options.rating_c && !usual_class)
    return fmt::format("usual thermostats hold {:.0f} to {:.0f} °C", k_usual_levels_c.low,
                       k_usual_levels_c.high);
  const auto side = side_before(drives.before);
  const Direction now = moved.shift_k < 0.0 ? Direction::below : Direction::above;
  if (!options.rating_c && side == now)
    return "it lies on the same side as the fault before; if another thermostat was fitted, give "
           "what is stamped on it with --rating";
  for (const ProofDrive& drive : moved.drives) {
    if (drive.showing == Showing::shows)
      return fmt::format("it is not steady: {} shows {} even by that level", drive.source,
                         plain_name(name_of(drive.condition)));
  }
  const double reach_k = check.against_band.high - check.against_band.difference;
  if (check.drives >= k_steady_drives && !(reach_k <= check.margin_k))
    return "it is not steady from drive to drive";
  return {};
}

/// What is still missing before it can be called a new normal; empty when nothing is.
std::string missing_for_new_normal(const LevelCheck& check, const ProofDrives& drives,
                                   const VerifyOptions& options) {
  if (check.drives < k_steady_drives)
    return fmt::format("{} drives are needed to call it steady", k_steady_drives);
  bool warmed_up = false;
  for (const ProofDrive& drive : drives.moved->drives) {
    if (drive.showing == Showing::doubtful)
      return drive.source + " leaves even that level without an explanation";
    warmed_up = warmed_up || (drive.warm_up && drive.warm_up->reached_s);
  }
  if (!warmed_up)
    return "a warm-up from cold must show that the thermostat shuts: a valve that hangs a little "
           "open is steady, too";
  if (!options.rating_c)
    return "give what is stamped on the thermostat that was fitted with --rating: one that opens "
           "late is steady, too";
  return {};
}

void judge_moved(LevelCheck& check, const ProofDrives& drives, const NormalBand& band,
                 const VerifyOptions& options) {
  check.outcome = LevelOutcome::off;
  check.objection = against_new_normal(check, drives, band, options);
  if (!check.objection.empty()) return;
  check.by_moved = true;
  check.objection = missing_for_new_normal(check, drives, options);
  check.outcome = check.objection.empty() ? LevelOutcome::new_normal : LevelOutcome::open;
}

bool lies_outside(const LevelCheck& check) {
  const Equivalence& test = check.against_band;
  return test.low > check.margin_k || test.high < -check.margin_k;
}

/// What the band kept of the time before the fault can tell a wrong level, though it cannot prove a
/// right one: how long a warm-up took then, for one, is gone.
void judge_by_itself(LevelCheck& check, const NormalBand& band, const VerifyOptions& options) {
  check.by_itself = true;
  check.more = 0;
  check.outcome = LevelOutcome::open;
  check.objection = "this band was learned since the fault, so that even a fault is normal by it: "
                    "give --band as it was before";
  if (!band.earlier || options.rating_c || check.drives == 0) return;
  const double moved_k = moved_since_c(band, *band.earlier) + check.against_band.difference;
  if (std::abs(moved_k) <= check.margin_k) return;
  check.objection += fmt::format("; it runs {:.1f} K {} than before the fault", std::abs(moved_k),
                                 moved_k > 0.0 ? "hotter" : "colder");
}

/// A drive may be missing; what the user knows is not to be had by driving.
std::size_t more_for_new_normal(const LevelCheck& check, const ProofDrives& drives) {
  const std::size_t missing = k_steady_drives - std::min(k_steady_drives, check.drives);
  const auto& after = drives.moved->drives;
  const bool warmed_up = std::any_of(after.begin(), after.end(), [](const ProofDrive& drive) {
    return drive.warm_up && drive.warm_up->reached_s;
  });
  return std::max<std::size_t>(missing, warmed_up ? 0 : 1);
}

void measure(LevelCheck& check, const std::vector<ProofDrive>& drives_after,
             const std::vector<ProofDrive>& drives_before, const NormalBand& band, double alpha) {
  const auto after = residuals_of(drives_after);
  const auto before = residuals_of(drives_before);
  const MeanEstimate now = estimate(after, band);
  const MeanEstimate then = estimate(before, band);
  check.drives = after.size();
  if (!before.empty()) check.before = against_band(then, band, check.margin_k, alpha);
  if (after.size() > 1 && before.size() > 1)
    check.change = two_one_sided_tests(now, then, check.margin_k, alpha);
  const auto more = more_drives(check, now, band, alpha);
  check.more = more.value_or(k_most_more);
  if (after.empty()) return;
  check.level_c = band.centre_c + now.mean;
  check.against_band = against_band(now, band, check.margin_k, alpha);
  // At the band's centre, and yet no number of drives shows it.
  check.band_limits = !more && std::abs(now.mean) < check.margin_k - k_least_spread_k;
}

} // namespace

std::string_view name_of(LevelOutcome outcome) {
  switch (outcome) {
  case LevelOutcome::unknown: return "unknown";
  case LevelOutcome::open: return "open";
  case LevelOutcome::usual: return "usual";
  case LevelOutcome::new_normal: return "new-normal";
  case LevelOutcome::off: return "off";
  }
  return "";
}

double usual_margin_k(const NormalBand& band) {
  return std::max(k_tolerance_k, 2.0 * band.between_c);
}

LevelCheck check_level(const ProofDrives& drives, const NormalBand& band,
                       const VerifyOptions& options) {
  LevelCheck check;
  check.margin_k = options.margin_k.value_or(usual_margin_k(band));
  measure(check, drives.after, drives.before, band, options.alpha);
  if (learned_since(band, fault_day(drives.before))) {
    judge_by_itself(check, band, options);
    return check;
  }
  if (check.drives == 0) return check;
  check.outcome = LevelOutcome::open;
  if (check.against_band.p() < options.alpha) {
    check.outcome = LevelOutcome::usual;
    check.more = 0;
  } else if (drives.moved) {
    judge_moved(check, drives, band, options);
    if (check.by_moved) measure(check, drives.moved->drives, drives.before, band, options.alpha);
    if (check.outcome == LevelOutcome::new_normal) check.more = 0;
    if (check.outcome == LevelOutcome::open) check.more = more_for_new_normal(check, drives);
  } else if (lies_outside(check)) {
    check.outcome = LevelOutcome::off;
    check.objection = "it is off by more than the margin, and steady at no other level";
  }
  return check;
}

} // namespace coolband
