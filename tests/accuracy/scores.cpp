// SPDX-License-Identifier: Apache-2.0
// Counting.
#include "accuracy/scores.hpp"

#include "numeric/proportion.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband::accuracy {
namespace {

std::vector<Stretch> merged(std::vector<Stretch> stretches) {
  std::sort(stretches.begin(), stretches.end(),
            [](const Stretch& a, const Stretch& b) { return a.from_s < b.from_s; });
  std::vector<Stretch> apart;
  for (const Stretch& stretch : stretches) {
    if (!apart.empty() && stretch.from_s <= apart.back().to_s)
      apart.back().to_s = std::max(apart.back().to_s, stretch.to_s);
    else
      apart.push_back(stretch);
  }
  return apart;
}

double length_of(const std::vector<Stretch>& stretches) {
  double sum_s = 0.0;
  for (const Stretch& stretch : stretches) sum_s += stretch.to_s - stretch.from_s;
  return sum_s;
}

double shared_s(const std::vector<Stretch>& a, const std::vector<Stretch>& b) {
  double sum_s = 0.0;
  for (const Stretch& x : a) {
    for (const Stretch& y : b)
      sum_s += std::max(0.0, std::min(x.to_s, y.to_s) - std::max(x.from_s, y.from_s));
  }
  return sum_s;
}

} // namespace

std::string share_text(const Count& count) {
  if (count.trials == 0) return "none";
  const auto trials = static_cast<double>(count.trials);
  const auto events = static_cast<double>(count.events);
  const ShareInterval interval = wilson_interval(events, trials, 0.95);
  return fmt::format("{} of {} = {:.1f} % ({:.1f}-{:.1f})", count.events, count.trials,
                     100.0 * events / trials, 100.0 * interval.low, 100.0 * interval.high);
}

void Calibration::add(double probability, bool came) {
  const double happened = came ? 1.0 : 0.0;
  const auto tenth = static_cast<std::size_t>(std::clamp(10.0 * probability, 0.0, 9.0));
  Bin& bin = bins.at(tenth);
  ++bin.count;
  bin.claimed += probability;
  bin.came += happened;
  squared += (probability - happened) * (probability - happened);
  ++count;
}

double Calibration::brier() const {
  return count > 0 ? squared / static_cast<double>(count)
                   : std::numeric_limits<double>::quiet_NaN();
}

bool contains(const std::vector<Condition>& names, Condition condition) {
  return std::find(names.begin(), names.end(), condition) != names.end();
}

bool alarms(const Case& judged) {
  return is_fault(judged.verdict.condition) || judged.verdict.condition == Condition::overheating;
}

bool named_right(const Case& judged) { return contains(judged.right, judged.verdict.condition); }

bool right_or_second(const Case& judged) {
  if (named_right(judged)) return true;
  if (judged.verdict.condition == Condition::normal) return false;
  const auto& causes = judged.verdict.causes;
  for (std::size_t i = 0; i < std::min<std::size_t>(2, causes.size()); ++i) {
    if (!contains(judged.right, causes[i].condition)) continue;
    return causes[i].has_check || causes.front().has_check;
  }
  return false;
}

double chance_of_fault(const Case& judged) {
  for (const RankedCause& cause : judged.verdict.causes) {
    if (cause.condition == Condition::normal) return 1.0 - cause.probability;
  }
  return judged.verdict.causes.empty() ? 0.0 : 1.0;
}

bool name_holds(const Case& judged) { return judged.fault && named_right(judged); }

std::optional<double> delay_s(const Case& judged) {
  if (judged.label.stretches.empty()) return std::nullopt;
  const double begins_s = judged.label.stretches.front().from_s;
  std::optional<double> first_s;
  for (const Stretch& episode : judged.verdict.episodes) {
    if (episode.to_s < begins_s) continue;
    first_s = std::min(first_s.value_or(episode.from_s), episode.from_s);
  }
  if (!first_s) return std::nullopt;
  return *first_s - begins_s;
}

double overlap(const Case& judged) {
  const auto reported = merged(judged.verdict.episodes);
  const auto& true_ones = judged.label.stretches;
  const double both_s = shared_s(reported, true_ones);
  const double either_s = length_of(reported) + length_of(true_ones) - both_s;
  return either_s > 0.0 ? both_s / either_s : 0.0;
}

} // namespace coolband::accuracy
