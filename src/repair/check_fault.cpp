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

/// A fault that is this likely in a drive that could not be judged is no unlikely one (common
/// practice, no source).
constexpr double k_not_unlikely = 0.2;

/// Drives before count by the same rule as those after: a clean one only if it was able.
ShowingRate rate_of(const std::vector<ProofDrive>& before, Condition fault) {
  ShowingRate rate;
  for (const ProofDrive& drive : before) {
    const bool shows = drive.showing == Showing::shows && drive.condition == fault;
    if (shows) ++rate.shown;
    if (shows || (drive.showing == Showing::clean && drive.could_show(fault))) ++rate.able;
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
    if (after[i].showing == Showing::shows && (was_air || !air_has_left(after, i)))
      check.shows.push_back(i);
    if (after[i].showing == Showing::doubtful) ++check.doubtful;
  }
}

/// Clean drives that could have shown the fault; what came before a suspect one proves nothing.
void count_clean(FaultCheck& check, const std::vector<ProofDrive>& after, Condition fault) {
  for (std::size_t i = 0; i < after.size(); ++i) {
    const ProofDrive& drive = after[i];
    const bool able = drive.showing == Showing::clean && drive.could_show(fault);
    const bool told = drive.showing == Showing::clean || drive.showing == Showing::cannot_tell;
    if (told) ++(able ? check.clean : check.unable);
    if (drive.showing == Showing::cannot_tell && !drive.learned &&
        drive.probability_of(fault) >= k_not_unlikely) {
      check.suspect = i;
      check.clean = 0;
    }
  }
}

void add_trace(FaultCheck& check, const std::vector<ProofDrive>& after, Condition fault) {
  for (const ProofDrive& drive : after) {
    const auto c = static_cast<std::size_t>(fault);
    if (!drive.trace || c >= drive.trace->size()) continue;
    check.trace = check.trace.value_or(0.0) + (*drive.trace)[c];
    ++check.trace_drives;
  }
}

void ask_chance(FaultCheck& check, double allowed) {
  check.missed = missed_chance(check.rate, check.clean);
  check.more.reset();
  if (const auto needed = clean_drives_needed(check.rate, allowed))
    check.more = *needed - std::min(*needed, check.clean);
}

FaultCheck check_one(const FaultCheck& all, const ProofDrives& drives,
                     const std::vector<ProofDrive>& after, Condition fault,
                     const VerifyOptions& options) {
  FaultCheck check = all;
  check.hardest = fault;
  check.rate = rate_of(drives.before, fault);
  check.share = wilson_interval(static_cast<double>(check.rate.shown),
                                static_cast<double>(check.rate.able), 0.95);
  check.rate.share = options.shows;
  count_clean(check, after, fault);
  add_trace(check, after, fault);
  std::vector<Situation> situations;
  for (const ProofDrive& drive : drives.before) {
    if (drive.situation && drive.condition == fault) situations.push_back(*drive.situation);
  }
  if (!situations.empty()) check.wanted = telling_drive(situations);
  ask_chance(check, options.allowed_miss);
  return check;
}

} // namespace

FaultCheck check_fault(const ProofDrives& drives, const std::vector<ProofDrive>& after,
                       const VerifyOptions& options) {
  FaultCheck all;
  all.before = faults_of(drives.before);
  count_after(all, after);
  if (options.fault &&
      std::find(all.before.begin(), all.before.end(), *options.fault) == all.before.end())
    all.unshown = options.fault;
  FaultCheck hardest = all;
  for (const Condition fault : all.before) {
    const FaultCheck one = check_one(all, drives, after, fault, options);
    const auto rank = [](const FaultCheck& check) {
      return std::pair(check.leaves_a_trace(), *check.missed);
    };
    if (!hardest.hardest || rank(one) > rank(hardest)) hardest = one;
  }
  if (hardest.hardest) return hardest;
  all.rate.share = options.shows;
  for (const ProofDrive& drive : after) {
    if (drive.showing == Showing::clean) ++(drive.counts() ? all.clean : all.unable);
    if (drive.showing == Showing::cannot_tell) ++all.unable;
  }
  if (all.known()) ask_chance(all, options.allowed_miss);
  return all;
}

} // namespace coolband
