// SPDX-License-Identifier: Apache-2.0
// Figures with their targets; the same ones for the fixed rule.
#include "accuracy/tables.hpp"

#include "accuracy/scores.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <string_view>

namespace coolband::accuracy {
namespace {

// Sizes of faults for which figures are given, K; the regulation's criterion is 11, the observable
// begins at 5.
constexpr std::array k_sizes_k{5.0, 8.0, 10.0, 11.0, 12.0, 15.0};

void line(std::string& text, std::string_view what, std::string_view value,
          std::string_view target = "") {
  fmt::format_to(std::back_inserter(text), "  {:<44} {}", what, value);
  if (!target.empty()) fmt::format_to(std::back_inserter(text), "   target: {}", target);
  text += '\n';
}

/// Cases by what is true of them.
struct Sorted {
  std::vector<const Case*> healthy;
  std::vector<const Case*> thermostat; ///< observable faults
  std::vector<const Case*> other;
  std::vector<const Case*> unseen; ///< faults that could not be seen
};

Sorted sort(const std::vector<Case>& cases, double off_by_k = 0.0) {
  Sorted sorted;
  for (const Case& judged : cases) {
    if (!judged.fault)
      sorted.healthy.push_back(&judged);
    else if (!judged.label.observable)
      sorted.unseen.push_back(&judged);
    else if (judged.label.off_by_k < off_by_k)
      continue;
    else
      (is_thermostat(*judged.fault) ? sorted.thermostat : sorted.other).push_back(&judged);
  }
  return sorted;
}

template <class Test>
Count count(const std::vector<const Case*>& cases, Test test) {
  Count counted;
  for (const Case* judged : cases) counted.add(test(*judged));
  return counted;
}

Count operator+(const Count& a, const Count& b) {
  return {a.events + b.events, a.trials + b.trials};
}

bool at_least(const Case& judged, Action action) { return judged.verdict.action >= action; }

bool undetermined(const Case& judged) {
  return judged.verdict.condition == Condition::undetermined;
}

bool rule_alarms(const Case& judged) {
  return judged.rule.value_or(Condition::normal) != Condition::normal;
}

bool blames_thermostat(const Case& judged) {
  return is_thermostat(judged.verdict.condition) && !named_right(judged);
}

/// What an accuracy target asks, by whether the log has load, ambient and speed.
struct Targets {
  std::string_view false_alarms;
  std::string_view detected;
  std::string_view thermostat_detected;
  std::string_view thermostat_named;
  std::string_view blamed;
  std::string_view other;
};

Targets targets_of(const ColumnSet& set) {
  if (set.load && set.ambient && set.motion && set.knowledge == Knowledge::band)
    return {"0 in 300", ">= 98 %", "", ">= 97 %", "<= 2 %", ">= 85 %"};
  if (!set.load && !set.ambient && !set.motion) return {"<= 1 %", "", ">= 90 %", "", "", ""};
  return {};
}

void healthy_lines(std::string& text, const Sorted& sorted, const Targets& targets) {
  const Count false_alarms = count(sorted.healthy, alarms);
  double hours = 0.0;
  for (const Case* judged : sorted.healthy) hours += judged->hours;
  line(text, "healthy: false alarms", share_text(false_alarms), targets.false_alarms);
  if (hours > 0.0) {
    line(text, "  per 100 h",
         fmt::format("{:.2f} in {:.0f} h", 100.0 * static_cast<double>(false_alarms.events) / hours,
                     hours));
  }
  line(text, "  no verdict (undetermined)", share_text(count(sorted.healthy, undetermined)));
  line(text, "  told to monitor or more", share_text(count(sorted.healthy, [](const Case& c) {
         return at_least(c, Action::monitor);
       })));
}

void faulty_lines(std::string& text, const Sorted& sorted, const Targets& targets) {
  const Count thermostat = count(sorted.thermostat, alarms);
  const Count right = count(sorted.thermostat, named_right) + count(sorted.other, named_right);
  const auto open = [&](auto test) {
    return share_text(count(sorted.thermostat, test) + count(sorted.other, test));
  };
  line(text, "observable faults: detected", share_text(thermostat + count(sorted.other, alarms)),
       targets.detected);
  line(text, "  undetermined", open(undetermined));
  line(text, "  undetermined, told service or stop",
       open([](const Case& c) { return undetermined(c) && at_least(c, Action::service); }));
  line(text, "  called normal",
       open([](const Case& c) { return c.verdict.condition == Condition::normal; }));
  line(text, "  named right", share_text(right));
  line(text, "thermostat faults: detected", share_text(thermostat), targets.thermostat_detected);
  line(text, "  named right", share_text(count(sorted.thermostat, named_right)),
       targets.thermostat_named);
  line(text, "thermostat blamed for another part's fault",
       share_text(count(sorted.other, blames_thermostat)), targets.blamed);
  line(text, "other faults: named right", share_text(count(sorted.other, named_right)));
  line(text, "  or second, with the separating check",
       share_text(count(sorted.other, right_or_second)), targets.other);
  line(text, "faults that cannot be seen: wrong name",
       share_text(count(sorted.unseen, [](const Case& c) {
         return is_fault(c.verdict.condition) && !named_right(c);
       })));
  line(text, "  named right", share_text(count(sorted.unseen, named_right)));
}

/// By how much the reading is off: a fault of 5 K hides among weather and load, one of 15 K does
/// not. The fixed rule's share says how hard the faults of a size are.
void size_table(std::string& text, const std::vector<Case>& cases) {
  const auto share = [](const Count& count) {
    return count.trials > 0 ? fmt::format("{:.1f}", 100.0 * static_cast<double>(count.events) /
                                                        static_cast<double>(count.trials))
                            : std::string("-");
  };
  text +=
      "  off for 5 min by, K:  faults  detected  rule detects  thermostat: faults  detected  named"
      "  other: faults  blamed  right or second\n";
  for (const double off_by_k : k_sizes_k) {
    const Sorted sorted = sort(cases, off_by_k);
    const auto both = [&](auto test) {
      return share(count(sorted.thermostat, test) + count(sorted.other, test));
    };
    fmt::format_to(
        std::back_inserter(text),
        "  {:>19.0f}  {:>6}  {:>8}  {:>12}  {:>18}  {:>8}  {:>5}  {:>13}  {:>6}  {:>15}\n",
        off_by_k, sorted.thermostat.size() + sorted.other.size(), both(alarms), both(rule_alarms),
        sorted.thermostat.size(), share(count(sorted.thermostat, alarms)),
        share(count(sorted.thermostat, named_right)), sorted.other.size(),
        share(count(sorted.other, blames_thermostat)), share(count(sorted.other, right_or_second)));
  }
}

void episode_lines(std::string& text, const Sorted& sorted) {
  std::vector<double> delays_s;
  std::vector<double> overlaps;
  for (const auto* cases : {&sorted.thermostat, &sorted.other}) {
    for (const Case* judged : *cases) {
      if (judged->label.stretches.empty()) continue;
      overlaps.push_back(overlap(*judged));
      if (const auto delay = delay_s(*judged)) delays_s.push_back(*delay);
    }
  }
  if (overlaps.empty()) return;
  double sum = 0.0;
  for (const double share : overlaps) sum += share;
  line(text, "episodes: overlap with the faulty stretches",
       fmt::format("mean {:.2f}, median {:.2f} of {}", sum / static_cast<double>(overlaps.size()),
                   median(overlaps), overlaps.size()));
  line(text, "  begin after the first wrong reading, s",
       fmt::format("median {:.0f}, 10-90 % {:.0f} to {:.0f}, of {}", median(delays_s),
                   quantile(delays_s, 0.1), quantile(delays_s, 0.9), delays_s.size()));
}

void calibration_lines(std::string& text, std::string_view what, const Calibration& calibration) {
  line(text, what, fmt::format("Brier {:.3f} over {}", calibration.brier(), calibration.count));
  std::string claimed = "  claimed %   ";
  std::string came = "  came true % ";
  std::string counted = "  cases       ";
  for (const Bin& bin : calibration.bins) {
    if (bin.count == 0) continue;
    const auto n = static_cast<double>(bin.count);
    claimed += fmt::format("{:6.0f}", 100.0 * bin.claimed / n);
    came += fmt::format("{:6.0f}", 100.0 * bin.came / n);
    counted += fmt::format("{:6}", bin.count);
  }
  text += claimed + '\n' + came + '\n' + counted + '\n';
}

void calibration_tables(std::string& text, const std::vector<Case>& cases) {
  Calibration names;
  Calibration anything;
  for (const Case& judged : cases) {
    if (is_fault(judged.verdict.condition))
      names.add(judged.verdict.confidence, name_holds(judged));
    if (!judged.fault || judged.label.observable)
      anything.add(chance_of_fault(judged), judged.fault.has_value());
  }
  calibration_lines(text, "confidence of named faults", names);
  calibration_lines(text, "1 - P(normal), healthy and observable", anything);
}

void rule_lines(std::string& text, const Sorted& sorted) {
  if (sorted.healthy.empty() || !sorted.healthy.front()->rule) return;
  const auto right = [](const Case& c) { return c.rule && contains(c.right, *c.rule); };
  text += "  -- fixed rule: median, -11/+12 °C for 3 min, after 10 min --\n";
  line(text, "healthy: false alarms", share_text(count(sorted.healthy, rule_alarms)));
  line(text, "observable faults: detected",
       share_text(count(sorted.thermostat, rule_alarms) + count(sorted.other, rule_alarms)));
  line(text, "thermostat faults: detected", share_text(count(sorted.thermostat, rule_alarms)));
  line(text, "  named right", share_text(count(sorted.thermostat, right)));
  line(text, "thermostat blamed for another part's fault",
       share_text(count(sorted.other, rule_alarms)));
  line(text, "other faults: named right", share_text(count(sorted.other, right)));
}

} // namespace

std::string figures_text(const ColumnSet& set, const std::vector<Case>& cases) {
  const Sorted sorted = sort(cases);
  const Targets targets = targets_of(set);
  std::string text = fmt::format("\n{}: {}\n", set.name, set.says);
  healthy_lines(text, sorted, targets);
  faulty_lines(text, sorted, targets);
  size_table(text, cases);
  episode_lines(text, sorted);
  calibration_tables(text, cases);
  rule_lines(text, sorted);
  return text;
}

} // namespace coolband::accuracy
