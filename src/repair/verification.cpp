// SPDX-License-Identifier: Apache-2.0
// From the four checks to one state, in words.
#include "repair/verification.hpp"

#include "band/history.hpp"
#include "core/shell_words.hpp"
#include "diagnose/condition_groups.hpp"
#include "diagnose/plain_name.hpp"
#include "repair/hazards.hpp"
#include "repair/proof_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

bool hung_open(const FaultCheck& fault) {
  const auto& before = fault.before;
  return std::any_of(before.begin(), before.end(), [](Condition condition) {
    return condition == Condition::thermostat_stuck_open ||
           condition == Condition::thermostat_sticking;
  });
}

bool needs_cold_start(const Verification& v) {
  const bool unsure = hung_open(v.fault) && v.warm_up.may_leak() && !v.warm_up.leaks();
  return unsure || v.warm_up.outcome == WarmUpOutcome::not_seen ||
         v.warm_up.outcome == WarmUpOutcome::open;
}

std::size_t more_drives(const Verification& v) {
  const bool leaks = hung_open(v.fault) && v.warm_up.leaks();
  if (v.level.by_itself || v.fault.blind() || v.fault.leaves_a_trace() || leaks) return 0;
  std::size_t more = std::max(v.level.more, v.fault.known() ? v.fault.more.value_or(0) : 0);
  if (needs_cold_start(v) || v.air.recent) more = std::max<std::size_t>(more, 1);
  return more;
}

/// What fails, in a few words: the reasons tell the rest.
std::string failure_of(const Verification& v) {
  if (!v.fault.shows.empty()) {
    const ProofDrive& drive = judged_after(v)[v.fault.shows.back()];
    // Bubbles at the sensor make it jump: bleeding comes before the sensor is looked into.
    if (v.air.recent && drive.condition == Condition::sensor_fault)
      return "air may still be about, or the sensor is at fault: bleed again first";
    const auto& before = v.fault.before;
    const bool same = std::find(before.begin(), before.end(), drive.condition) != before.end();
    return fmt::format("{} {} shows {}", drive.source, same ? "still" : "now",
                       plain_name(name_of(drive.condition)));
  }
  if (v.level.outcome == LevelOutcome::off) return "it does not run where it should";
  return "it warms up too slowly";
}

/// What is open though no more drives are needed.
std::string doubt_of(const Verification& v) {
  if (v.fault.doubtful > 0) return last_doubtful(judged_after(v)).source + " is not explained";
  if (v.level.by_itself) return "the band is one of since the fault";
  if (hung_open(v.fault) && v.warm_up.leaks())
    return "coolant may still pass a valve that should be shut";
  if (v.fault.leaves_a_trace()) return "a lesser fault of the same kind may be left";
  if (v.fault.blind() || v.fault.unshown) return "no log shows when the fault shows";
  if (v.level.band_limits) return "the band rests on too few drives";
  if (v.warm_up.outcome == WarmUpOutcome::unknown) return "the band knows no warm-up";
  if (v.level.by_moved) return "which thermostat was fitted?";
  return "the level still moves from drive to drive";
}

std::string headline_of(const Verification& v) {
  if (v.state == VerifyState::not_verified) return "not verified: " + failure_of(v);
  if (v.state == VerifyState::not_yet) {
    const std::size_t more = more_drives(v);
    if (more == 0) return "not yet verified: " + doubt_of(v);
    return fmt::format("not yet verified: {} more drive{} needed", more,
                       more == 1 ? " is" : "s are");
  }
  const std::string level =
      v.level.outcome == LevelOutcome::new_normal
          ? fmt::format("at a new, steady normal of {:.1f} °C", *v.level.level_c)
          : fmt::format("at its normal, {:.1f} °C", *v.level.level_c);
  if (!v.fault.known()) return "it runs " + level + "; no fault is known from before";
  return fmt::format("verified: {} {} gone, and it runs {}", names_of(v.fault.before),
                     v.fault.before.size() > 1 ? "are" : "is", level);
}

/// The day of the earliest drive; empty without dates.
std::string first_day(const std::vector<ProofDrive>& drives) {
  std::string first;
  for (const ProofDrive& drive : drives) {
    const auto day = day_of(drive.start);
    if (day && (first.empty() || *day < first)) first = *day;
  }
  return first;
}

void add_more_driving(Verification& v) {
  const std::size_t more = more_drives(v);
  if (more == 0) return;
  std::string step = fmt::format("log {} more drive{}", more, more == 1 ? "" : "s");
  if (v.fault.known() && v.fault.more.value_or(1) > 0 && !v.fault.wanted.empty())
    step += (more == 1 ? ": " : ", each ") + v.fault.wanted;
  else
    step += " of 30 min or more";
  if (needs_cold_start(v) || v.level.by_moved)
    step += fmt::format("; start {} from cold (after 6 h or more of rest, above -7 °C)",
                        more == 1 ? "it" : "at least one");
  v.next_steps.push_back(std::move(step));
}

void add_closer_look(Verification& v) {
  const auto& after = judged_after(v);
  const ProofDrive& drive = v.fault.shows.empty() ? after.back() : after[v.fault.shows.back()];
  v.next_steps.push_back(fmt::format("look into it: coolband check {} --band FILE --explain",
                                     shell_quoted(drive.path.empty() ? drive.source : drive.path)));
  if (is_thermostat(drive.condition))
    v.next_steps.emplace_back(
        "before another thermostat is fitted, hold the sensor against an independent thermometer "
        "and test its wiring: resistance in its circuit reads as a thermostat that hangs open");
}

/// It runs well, but of which fault that is the cure nobody said.
bool runs_well_without_fault(const Verification& v) {
  return v.state == VerifyState::verified && !v.checks.front().state;
}

void add_cautions(Verification& v) {
  const auto& after = judged_after(v);
  if (std::any_of(after.begin(), after.end(), [](const ProofDrive& drive) {
        return calls_to_stop(drive.action, drive.condition);
      }))
    v.cautions.emplace_back("do not drive on while it overheats: stop at the next safe place, "
                            "switch off, let it cool; no proving drive before a check has found "
                            "the cause and it is cured");
  v.cautions.insert(
      v.cautions.end(),
      {"never open a hot cooling system: coolant under pressure scalds; wait until it is cold, "
       "then loosen the cap slowly",
       "an electric fan can start with the engine off: keep clear of it",
       "the vehicle maker's procedure and local rules come first; leave the work to a qualified "
       "workshop if in doubt"});
}

void add_next_steps(Verification& v, const NormalBand& band, bool fault_unknown) {
  if (fault_unknown && v.options.fault)
    v.next_steps.emplace_back(
        "give a log that shows the fault with --before: those given were found "
        "sound, or to have another fault");
  else if (fault_unknown)
    v.next_steps.emplace_back("name the fault: --before LOG, a log that shows it; --fault "
                              "CONDITION too, where the log alone does not name it; or --shows "
                              "PERCENT, in how many drives it was seen");
  if (v.state == VerifyState::not_yet &&
      (v.fault.leaves_a_trace() || (hung_open(v.fault) && v.warm_up.leaks())))
    v.next_steps.push_back(fmt::format("make the checks for {} once more (coolband plan), then log "
                                       "more drives: what is left of it "
                                       "shows the better the more there are",
                                       names_of({*v.fault.hardest})));
  if (v.fault.unshown && !fault_unknown)
    v.next_steps.push_back(
        fmt::format("give a log that shows {} with --before", names_of({*v.fault.unshown})));
  if (v.fault.blind())
    v.next_steps.emplace_back(
        "give a log that shows the fault with --before (and --fault CONDITION "
        "where it does not name it)");
  if (v.level.band_limits || v.warm_up.outcome == WarmUpOutcome::unknown)
    v.next_steps.emplace_back(
        "if there are logs of normal running from before the fault, learn them "
        "into the band: coolband learn LOG... --band FILE --update");
  if (v.level.by_itself)
    v.next_steps.emplace_back("prove the repair by a copy of the band from before it; learn the "
                              "new normal only then (learn --update --since)");
  if (v.state == VerifyState::not_verified) add_closer_look(v);
  if (v.state == VerifyState::not_yet && !fault_unknown) add_more_driving(v);
  if (v.state == VerifyState::not_yet && v.level.by_moved && !v.options.rating_c)
    v.next_steps.emplace_back("say what is stamped on the thermostat that was fitted: --rating C");
  if (v.air.recent || v.air.drift_k)
    v.next_steps.emplace_back("bleed again by the maker's procedure; air leaves over several "
                              "warm-ups and cool-downs");
  if (v.state != VerifyState::verified)
    v.next_steps.emplace_back("check the coolant level when cold, after the first drives, too");
  if (v.state == VerifyState::verified && v.level.outcome == LevelOutcome::new_normal) {
    const std::string day = first_day(v.drives.after);
    v.next_steps.push_back(fmt::format(
        "learn the new normal: coolband learn LOG... --vehicle {} --band FILE --update --since {}",
        band.vehicle.empty() ? "ID" : shell_quoted(band.vehicle), day.empty() ? "DATE" : day));
  }
  if (v.state == VerifyState::verified) return;
  add_cautions(v);
}

/// Drives that made the band are normal by it, whatever they are.
void add_learned(Verification& v) {
  std::vector<std::string> names;
  for (const auto* drives : {&v.drives.before, &v.drives.after}) {
    for (const ProofDrive& drive : *drives) {
      if (drive.learned) names.push_back(drive.source);
    }
  }
  if (names.empty()) return;
  v.limits.push_back(fmt::format("the band was learned from {} of these drives ({}{}): they are "
                                 "normal by themselves and prove nothing",
                                 names.size(), names.front(), names.size() > 1 ? ", ..." : ""));
}

std::string why_unable(const ProofDrive& drive, Condition fault) {
  for (const auto& [condition, reason] : drive.unable) {
    if (condition == fault) return reason;
  }
  return {};
}

void add_limits(Verification& v) {
  if (v.drives.unread > 0)
    v.limits.push_back(fmt::format("{} log{} could not be read and {} not in this", v.drives.unread,
                                   v.drives.unread == 1 ? "" : "s",
                                   v.drives.unread == 1 ? "is" : "are"));
  if (v.drives.before.empty()) {
    v.limits.emplace_back(
        "no drives from before: the fault, and how often it showed, is not known");
  } else if (v.fault.rate.shown == 0) {
    v.limits.emplace_back("no drive from before shows a fault: that one was cured cannot be shown");
  }
  const auto& after = judged_after(v);
  for (const ProofDrive& drive : after) {
    if (drive.showing == Showing::cannot_tell)
      v.limits.push_back(drive.source + " could not be judged: " + why_undetermined(drive));
    else if (v.fault.hardest && !drive.could_show(*v.fault.hardest) && !drive.learned)
      v.limits.push_back(
          fmt::format("{} could not have shown the fault: {}", drive.source,
                      drive.continues ? why_not_able(drive) : why_unable(drive, *v.fault.hardest)));
  }
  if (v.fault.rate.shown > 1 && v.fault.rate.shown == v.fault.rate.able && !v.options.shows)
    v.limits.emplace_back("the chance holds if --before has all drives of the time with the fault, "
                          "those that did not show it too; else say --shows PERCENT");
  if (v.level.by_moved)
    v.limits.emplace_back("a new level is judged by the drives since alone: the old band cannot "
                          "say what is normal there");
}

} // namespace

const std::vector<ProofDrive>& judged_after(const Verification& v) {
  return v.level.by_moved ? v.drives.moved->drives : v.drives.after;
}

std::string_view name_of(VerifyState state) {
  switch (state) {
  case VerifyState::verified: return "verified";
  case VerifyState::not_yet: return "not-yet";
  case VerifyState::not_verified: return "not-verified";
  }
  return "";
}

Verification verify(ProofDrives drives, const NormalBand& band, const VerifyOptions& options) {
  Verification v;
  v.options = options;
  v.drives = std::move(drives);
  v.level = check_level(v.drives, band, options);
  const auto& after = judged_after(v);
  v.fault = check_fault(v.drives, after, options);
  v.warm_up = check_warm_ups(after, band);
  v.air = check_air(after, band, v.level.margin_k);
  v.checks = {fault_line(v.fault, after, options.allowed_miss), level_line(v.level, band),
              warm_up_line(v.warm_up, hung_open(v.fault)), air_line(v.air, after.size())};
  v.state = VerifyState::verified;
  for (const CheckLine& check : v.checks)
    v.state = std::max(v.state, check.state.value_or(v.state));
  for (const CheckLine& check : v.checks) {
    if (check.state == v.state || !check.state) v.reasons.push_back(check.text);
  }
  v.headline = headline_of(v);
  const bool fault_unknown = runs_well_without_fault(v);
  if (fault_unknown) v.state = VerifyState::not_yet;
  add_limits(v);
  add_learned(v);
  add_next_steps(v, band, fault_unknown);
  return v;
}

} // namespace coolband
