// SPDX-License-Identifier: Apache-2.0
// Does the fault still show, and would it have shown?
#include "repair/verification.hpp"

#include <algorithm>

namespace coolband {

namespace {

std::vector<Condition> faults_of(const std::vector<ProofDrive>& drives) {
  std::vector<std::pair<Condition, int>> counts;
  for (const ProofDrive& drive : drives) {
    if (drive.showing != Showing::shows) continue;
    const auto found = std::find_if(counts.begin(), counts.end(), [&](const auto& count) {
      return count.first == drive.condition;
    });
    if (found == counts.end())
      counts.emplace_back(drive.condition, 1);
    else
      ++found->second;
  }
  std::stable_sort(counts.begin(), counts.end(),
                   [](const auto& a, const auto& b) { return a.second > b.second; });
  std::vector<Condition> faults;
  faults.reserve(counts.size());
  for (const auto& [condition, count] : counts) faults.push_back(condition);
  return faults;
}

bool could_show(const ProofDrive& drive) { return !drive.unable_because.has_value(); }

/// Drives before count by the same rule as those after: a clean one only if it was able.
ShowingRate rate_of(const std::vector<ProofDrive>& before) {
  ShowingRate rate;
  for (const ProofDrive& drive : before) {
    const bool shows = drive.showing == Showing::shows;
    if (shows) ++rate.shown;
    if (shows || (drive.showing == Showing::clean && could_show(drive))) ++rate.able;
  }
  return rate;
}

/// Air leaves over several warm-ups: it is no fault of a repair where the drives since then, two or
/// more, are clean.
bool air_has_left(const std::vector<ProofDrive>& after, std::size_t from) {
  constexpr std::size_t k_clean_since = 2;
  if (after[from].condition != Condition::air_or_low_coolant) return false;
  if (after.size() - from - 1 < k_clean_since) return false;
  return std::all_of(after.begin() + static_cast<std::ptrdiff_t>(from) + 1, after.end(),
                     [](const ProofDrive& drive) { return drive.showing == Showing::clean; });
}

void count_after(FaultCheck& check, const std::vector<ProofDrive>& after) {
  const bool was_air = std::find(check.before.begin(), check.before.end(),
                                 Condition::air_or_low_coolant) != check.before.end();
  for (std::size_t i = 0; i < after.size(); ++i) {
    const ProofDrive& drive = after[i];
    switch (drive.showing) {
    case Showing::shows:
      if (was_air || !air_has_left(after, i)) check.shows.push_back(i);
      break;
    case Showing::doubtful: ++check.doubtful; break;
    case Showing::clean: ++(could_show(drive) ? check.clean : check.unable); break;
    case Showing::cannot_tell: ++check.unable; break;
    }
  }
}

} // namespace

FaultCheck check_fault(const ProofDrives& drives, const std::vector<ProofDrive>& after,
                       const VerifyOptions& options) {
  FaultCheck check;
  check.before = faults_of(drives.before);
  check.rate = rate_of(drives.before);
  check.rate.share = options.shows;
  if (check.rate.able > 0)
    check.share = wilson_interval(static_cast<double>(check.rate.shown),
                                  static_cast<double>(check.rate.able), 0.95);
  count_after(check, after);
  std::vector<Situation> situations;
  for (const ProofDrive& drive : drives.before) {
    if (drive.situation) situations.push_back(*drive.situation);
  }
  if (!situations.empty()) check.wanted = telling_drive(situations);
  if (!check.known()) return check;
  check.missed = missed_chance(check.rate, check.clean);
  if (const auto needed = clean_drives_needed(check.rate, options.allowed_miss))
    check.more = *needed - std::min(*needed, check.clean);
  return check;
}

} // namespace coolband
