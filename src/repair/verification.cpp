// SPDX-License-Identifier: Apache-2.0
// From the four checks to one state, in words.
#include "repair/verification.hpp"

#include "band/history.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

std::string drives_words(std::size_t count) {
  return fmt::format("{} drive{}", count, count == 1 ? "" : "s");
}

std::string percent(double share) {
  const double value = 100.0 * share;
  return value > 0.0 && value < 1.0 ? fmt::format("{:.1g} %", value)
                                    : fmt::format("{:.0f} %", value);
}

std::string names_of(const std::vector<Condition>& conditions) {
  std::string words;
  for (const Condition condition : conditions)
    words += (words.empty() ? "" : ", ") + std::string(name_of(condition));
  return words.empty() ? "the fault" : words;
}

std::string showed_words(const FaultCheck& fault) {
  if (fault.rate.share)
    return fmt::format("the fault is said to show in {} of the drives", percent(*fault.rate.share));
  return fmt::format("{} showed in {} of {} before that could show it (95 %: {} to {})",
                     names_of(fault.before), fault.rate.shown, drives_words(fault.rate.able),
                     percent(fault.share->low), percent(fault.share->high));
}

const ProofDrive& last_doubtful(const std::vector<ProofDrive>& drives) {
  return *std::find_if(drives.rbegin(), drives.rend(),
                       [](const ProofDrive& d) { return d.showing == Showing::doubtful; });
}

/// The headline of a drive without the word that the sentence around it has.
std::string why_undetermined(const ProofDrive& drive) {
  constexpr std::string_view k_word = "undetermined: ";
  return drive.headline.starts_with(k_word) ? drive.headline.substr(k_word.size()) : drive.headline;
}

CheckLine fault_line(const FaultCheck& fault, const std::vector<ProofDrive>& after,
                     double allowed) {
  CheckLine line{"fault", VerifyState::verified, {}};
  if (!fault.shows.empty()) {
    const ProofDrive& drive = after[fault.shows.back()];
    line.state = VerifyState::not_verified;
    line.text = fmt::format("{} of {} since show{} a fault; {}: {}", fault.shows.size(),
                            drives_words(after.size()), fault.shows.size() == 1 ? "s" : "",
                            drive.source, drive.headline);
    return line;
  }
  if (fault.doubtful > 0) {
    const ProofDrive& drive = last_doubtful(after);
    line.state = VerifyState::not_yet;
    line.text = fmt::format("{} left the normal band without an explanation; {}", drive.source,
                            why_undetermined(drive));
    return line;
  }
  if (!fault.known()) {
    line.state = std::nullopt;
    line.text = "no fault is known from before: only whether it runs normally now can be told";
    if (fault.clean == 0) {
      line.state = VerifyState::not_yet;
      line.text = "no drive since could be judged";
    }
    return line;
  }
  const std::string since =
      fault.clean == 0 ? "no drive since was clean and able to show it"
                       : fmt::format("{} since could show it and {} clean",
                                     drives_words(fault.clean), fault.clean == 1 ? "was" : "were");
  line.text = fmt::format("{}; {}: the chance that it was missed is {} ({} is allowed)",
                          showed_words(fault), since, percent(*fault.missed), percent(allowed));
  if (!fault.more || *fault.more > 0) line.state = VerifyState::not_yet;
  return line;
}

std::string interval_words(const Equivalence& test) {
  if (std::isnan(test.low)) return {};
  return fmt::format(" (90 %: {:+.1f} to {:+.1f})", test.low, test.high);
}

CheckLine level_line(const LevelCheck& level, const NormalBand& band) {
  CheckLine line{"level", VerifyState::not_yet, {}};
  if (level.outcome == LevelOutcome::unknown) {
    line.text = "no drive since tells a level: each needs five minutes of warm running in "
                "conditions that the band has seen";
    return line;
  }
  const std::string at = fmt::format(
      "{} since run at {:.1f} °C where {:.1f} °C is usual for load and weather, {:+.1f} K{}",
      drives_words(level.drives), *level.level_c, band.centre_c, level.against_band.difference,
      interval_words(level.against_band));
  switch (level.outcome) {
  case LevelOutcome::usual:
    line.state = VerifyState::verified;
    line.text = fmt::format("{}: within the margin of {:.1f} K", at, level.margin_k);
    break;
  case LevelOutcome::new_normal:
    line.state = VerifyState::verified;
    line.text = at + ": another level, but steady and without a fault: a new normal, as another "
                     "thermostat gives it";
    break;
  case LevelOutcome::off:
    line.state = VerifyState::not_verified;
    line.text = at + ": no new normal: " + level.objection;
    break;
  default:
    line.text = level.by_moved
                    ? at + ": perhaps a new normal, but " + level.objection
                    : fmt::format("{}: too few drives to say whether it is within the margin of "
                                  "{:.1f} K",
                                  at, level.margin_k);
  }
  return line;
}

std::string warm_ups_words(const WarmUpCheck& warm_up) {
  std::string words = warm_up.seen == 1 ? "1 warm-up" : fmt::format("{} warm-ups", warm_up.seen);
  if (warm_up.ratio) words += fmt::format(" took {:.2f} times the usual time", *warm_up.ratio);
  if (warm_up.ratio_interval)
    words += fmt::format(" (90 %: {:.2f} to {:.2f})", warm_up.ratio_interval->low,
                         warm_up.ratio_interval->high);
  if (warm_up.endless > 0)
    words +=
        fmt::format("{} {} never came to an end", warm_up.ratio ? ", and" : ",", warm_up.endless);
  return words + fmt::format("; up to {:.2f} is usual", warm_up.allowed_ratio);
}

CheckLine warm_up_line(const WarmUpCheck& warm_up) {
  CheckLine line{"warm-up", VerifyState::not_yet, {}};
  switch (warm_up.outcome) {
  case WarmUpOutcome::unknown:
    line.state = std::nullopt;
    line.text = "the band does not know how long a warm-up takes";
    return line;
  case WarmUpOutcome::not_seen:
    line.text = "no drive since starts from cold and shows its warm-up to the end";
    return line;
  case WarmUpOutcome::open: break;
  case WarmUpOutcome::usual: line.state = VerifyState::verified; break;
  case WarmUpOutcome::slow: line.state = VerifyState::not_verified; break;
  }
  line.text = warm_ups_words(warm_up);
  return line;
}

CheckLine air_line(const AirCheck& air, std::size_t drives) {
  CheckLine line{"air", VerifyState::verified, {}};
  if (air.recent) {
    line.state = VerifyState::not_yet;
    line.text = fmt::format("air may still be about: {}", air.signs.back());
  } else if (air.drift_k) {
    line.state = VerifyState::not_yet;
    line.text = fmt::format("the level still moves, by {:+.1f} K from the first drive to the last",
                            *air.drift_k);
  } else if (!air.signs.empty()) {
    line.text =
        fmt::format("signs of air in {}, none in the latest two", drives_words(air.signs.size()));
  } else {
    line.text = fmt::format("no dips, swings or wandering level in {}", drives_words(drives));
  }
  return line;
}

const std::vector<ProofDrive>& judged_as(const Verification& v) {
  return v.level.by_moved ? v.drives.moved->drives : v.drives.after;
}

bool needs_cold_start(const Verification& v) {
  return v.warm_up.outcome == WarmUpOutcome::not_seen || v.warm_up.outcome == WarmUpOutcome::open;
}

std::size_t more_drives(const Verification& v) {
  std::size_t more = std::max(v.level.more, v.fault.known() ? v.fault.more.value_or(0) : 0);
  if (needs_cold_start(v) || v.air.recent) more = std::max<std::size_t>(more, 1);
  return more;
}

/// What fails, in a few words: the reasons tell the rest.
std::string failure_of(const Verification& v) {
  if (!v.fault.shows.empty()) {
    const ProofDrive& drive = judged_as(v)[v.fault.shows.back()];
    const auto& before = v.fault.before;
    const bool same = std::find(before.begin(), before.end(), drive.condition) != before.end();
    return fmt::format("{} {} shows {}", drive.source, same ? "still" : "now",
                       name_of(drive.condition));
  }
  if (v.level.outcome == LevelOutcome::off) return "it does not run where it should";
  return "it warms up too slowly";
}

/// What is open though no more drives are needed.
std::string doubt_of(const Verification& v) {
  if (v.fault.doubtful > 0) return last_doubtful(judged_as(v)).source + " is not explained";
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
    step += fmt::format("; start {} from cold (after 6 h or more of rest)",
                        more == 1 ? "it" : "at least one");
  v.next_steps.push_back(std::move(step));
}

bool is_thermostat(Condition condition) {
  return condition == Condition::thermostat_stuck_open ||
         condition == Condition::thermostat_stuck_closed ||
         condition == Condition::thermostat_sticking;
}

void add_closer_look(Verification& v) {
  const auto& after = judged_as(v);
  const ProofDrive& drive = v.fault.shows.empty() ? after.back() : after[v.fault.shows.back()];
  v.next_steps.push_back(
      fmt::format("look into it: coolband check {} --band FILE --explain", drive.source));
  if (is_thermostat(drive.condition))
    v.next_steps.emplace_back(
        "before another thermostat is fitted, hold the sensor against an independent thermometer "
        "and test its wiring: resistance in its circuit reads as a thermostat that hangs open");
}

void add_next_steps(Verification& v, const NormalBand& band) {
  if (v.state == VerifyState::not_verified) add_closer_look(v);
  if (v.state == VerifyState::not_yet) add_more_driving(v);
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
        band.vehicle.empty() ? "ID" : band.vehicle, day.empty() ? "DATE" : day));
  }
  if (v.state == VerifyState::verified) return;
  v.cautions = {"never open a hot cooling system: coolant under pressure scalds; wait until it is "
                "cold, then loosen the cap slowly",
                "an electric fan can start with the engine off: keep clear of it",
                "the vehicle maker's procedure and local rules come first; leave the work to a "
                "qualified workshop if in doubt"};
}

/// Drives that made the band are normal by it, whatever they are.
void add_learned(Verification& v, const NormalBand& band) {
  std::vector<std::string> names;
  for (const auto* drives : {&v.drives.before, &v.drives.after}) {
    for (const ProofDrive& drive : *drives) {
      const bool learned =
          std::any_of(band.drives.begin(), band.drives.end(), [&](const DriveSummary& summary) {
            return summary.source == drive.source && summary.start == drive.start;
          });
      if (learned) names.push_back(drive.source);
    }
  }
  if (names.empty()) return;
  v.limits.push_back(fmt::format("the band was learned from {} of these drives ({}{}): what is "
                                 "normal by itself proves little",
                                 names.size(), names.front(), names.size() > 1 ? ", ..." : ""));
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
  const auto& after = judged_as(v);
  for (const ProofDrive& drive : after) {
    if (drive.showing == Showing::cannot_tell)
      v.limits.push_back(drive.source + " could not be judged: " + why_undetermined(drive));
    else if (drive.unable_because && v.fault.known())
      v.limits.push_back(fmt::format("{} could not have shown the fault: {}", drive.source,
                                     *drive.unable_because));
  }
  if (v.level.by_moved)
    v.limits.emplace_back("a new level is judged by the drives since alone: the old band cannot "
                          "say what is normal there");
}

} // namespace

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
  const auto& after = judged_as(v);
  v.fault = check_fault(v.drives, after, options);
  v.warm_up = check_warm_ups(after, band);
  v.air = check_air(after, band, v.level.margin_k);
  v.checks = {fault_line(v.fault, after, options.allowed_miss), level_line(v.level, band),
              warm_up_line(v.warm_up), air_line(v.air, after.size())};
  v.state = VerifyState::verified;
  for (const CheckLine& check : v.checks)
    v.state = std::max(v.state, check.state.value_or(v.state));
  for (const CheckLine& check : v.checks) {
    if (check.state == v.state || !check.state) v.reasons.push_back(check.text);
  }
  v.headline = headline_of(v);
  add_limits(v);
  add_learned(v, band);
  add_next_steps(v, band);
  return v;
}

} // namespace coolband
