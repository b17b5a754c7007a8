// SPDX-License-Identifier: Apache-2.0
// The four checks in words.
#include "repair/proof_words.hpp"

#include "core/signed_tenths.hpp"
#include "diagnose/plain_name.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>

#include <fmt/core.h>

namespace coolband {

namespace {

std::string drives_words(std::size_t count) {
  return fmt::format("{} drive{}", count, count == 1 ? "" : "s");
}

std::string percent(double share) {
  const double value = 100.0 * share;
  return value < 10.0 ? fmt::format("{:.2g} %", value) : fmt::format("{:.0f} %", value);
}

std::string showed_words(const FaultCheck& fault) {
  if (fault.rate.share)
    return fmt::format("the fault is said to show in {} of the drives", percent(*fault.rate.share));
  return fmt::format("{} showed in {} of {} before that could show it (95 %: {} to {})",
                     names_of({*fault.hardest}), fault.rate.shown, drives_words(fault.rate.able),
                     percent(fault.share->low), percent(fault.share->high));
}

std::string interval_words(const Equivalence& test) {
  if (std::isnan(test.low)) return {};
  return fmt::format(" (90 %: {} to {})", signed_tenths(test.low), signed_tenths(test.high));
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

std::string pace_words(const WarmUpCheck& warm_up) {
  std::string words = fmt::format(
      "from 50 °C until it must open, at {:.2f} of a sound vehicle's pace (90 %: {:.2f} to {:.2f})",
      *warm_up.pace, warm_up.pace_interval->low, warm_up.pace_interval->high);
  if (warm_up.leaks()) return words + ": coolant passes a valve that should be shut";
  return warm_up.may_leak() ? words + fmt::format(", and it takes {:.2f}", k_least_pace) : words;
}

} // namespace

std::string names_of(const std::vector<Condition>& conditions) {
  std::string words;
  for (const Condition condition : conditions)
    words += (words.empty() ? "" : ", ") + plain_name(name_of(condition));
  return words.empty() ? "the fault" : words;
}

const ProofDrive& last_doubtful(const std::vector<ProofDrive>& drives) {
  return *std::find_if(drives.rbegin(), drives.rend(),
                       [](const ProofDrive& d) { return d.showing == Showing::doubtful; });
}

std::string why_not_able(const ProofDrive& drive) {
  if (drive.learned) return "the band was learned from it, so that it is normal by itself";
  if (drive.continues) return "it goes on where the drive before it had just ended";
  return drive.unable.empty() ? std::string() : drive.unable.front().second;
}

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
  if (fault.unshown) {
    line.state = VerifyState::not_yet;
    line.text +=
        fmt::format("; of {}, which was found by hand, no drive before tells where it shows",
                    names_of({*fault.unshown}));
  }
  if (fault.suspect) {
    const ProofDrive& drive = after[*fault.suspect];
    const double share = drive.probability_of(*fault.hardest);
    line.text += fmt::format("; counted after {}, which could not be judged: {} is {} likely in it",
                             drive.source, names_of({*fault.hardest}), percent(share));
  }
  if (fault.leaves_a_trace()) {
    line.state = VerifyState::not_yet;
    line.text =
        fmt::format("no drive since shows it by itself, but by the heat balance {} together "
                    "fit a lesser fault of the kind ({}) far better than a sound vehicle: "
                    "the cure may be half a cure",
                    drives_words(fault.trace_drives), names_of({*fault.hardest}));
    return line;
  }
  if (fault.blind()) {
    line.state = VerifyState::not_yet;
    line.text +=
        "; no log shows in what weather and driving it comes, so whether these drives could "
        "have shown it is not known";
    return line;
  }
  if (!fault.more || *fault.more > 0) line.state = VerifyState::not_yet;
  return line;
}

CheckLine level_line(const LevelCheck& level, const NormalBand& band) {
  CheckLine line{"level", VerifyState::not_yet, {}};
  if (level.outcome == LevelOutcome::unknown) {
    line.text = "no drive since tells a level: each needs five minutes of warm running in "
                "conditions that the band has seen";
    return line;
  }
  if (!level.level_c) {
    line.text = level.objection;
    return line;
  }
  const std::string at =
      fmt::format("{} since run at {:.1f} °C where {:.1f} °C is usual for load and weather, {} K{}",
                  drives_words(level.drives), *level.level_c, band.centre_c,
                  signed_tenths(level.against_band.difference), interval_words(level.against_band));
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
    if (level.by_itself)
      line.text = at + ": " + level.objection;
    else if (level.by_moved)
      line.text = at + ": perhaps a new normal, but " + level.objection;
    else
      line.text = fmt::format(
          "{}: too few drives to say whether it is within the margin of {:.1f} K{}", at,
          level.margin_k, level.band_limits ? "; the band itself rests on too few" : "");
  }
  return line;
}

CheckLine warm_up_line(const WarmUpCheck& warm_up, bool needed) {
  CheckLine line{"warm-up", VerifyState::not_yet, {}};
  switch (warm_up.outcome) {
  case WarmUpOutcome::unknown:
    line.state = std::nullopt;
    line.text = "the band does not know how long a warm-up takes";
    if (needed) {
      line.state = VerifyState::not_yet;
      line.text += ", and a valve that hangs a little open shows in nothing else";
    }
    return line;
  case WarmUpOutcome::not_seen:
    line.text =
        "no drive since starts from cold, in no deep cold (above -7 °C), and shows its warm-up "
        "to the end";
    return line;
  case WarmUpOutcome::open: break;
  case WarmUpOutcome::usual: line.state = VerifyState::verified; break;
  case WarmUpOutcome::slow: line.state = VerifyState::not_verified; break;
  }
  line.text = warm_ups_words(warm_up);
  if (needed && warm_up.may_leak() && line.state == VerifyState::verified)
    line.state = VerifyState::not_yet;
  if (needed && warm_up.pace) line.text += "; " + pace_words(warm_up);
  return line;
}

CheckLine air_line(const AirCheck& air, std::size_t drives) {
  CheckLine line{"air", VerifyState::verified, {}};
  if (air.recent) {
    line.state = VerifyState::not_yet;
    line.text = fmt::format("air may still be about: {}", air.signs.back());
  } else if (air.drift_k) {
    line.state = VerifyState::not_yet;
    line.text = fmt::format("the level still moves, by {} K from the first drive to the last",
                            signed_tenths(*air.drift_k));
  } else if (!air.signs.empty()) {
    line.text =
        fmt::format("signs of air in {}, none in the latest two", drives_words(air.signs.size()));
  } else {
    line.text = fmt::format("no dips, swings or wandering level in {}", drives_words(drives));
  }
  return line;
}

} // namespace coolband
