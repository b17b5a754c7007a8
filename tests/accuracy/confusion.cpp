// SPDX-License-Identifier: Apache-2.0
// Which verdict which fault got, case by case and in sum.
#include "accuracy/scores.hpp"
#include "accuracy/tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <map>
#include <string_view>

namespace coolband::accuracy {
namespace {

constexpr std::size_t k_conditions = 11;
constexpr double k_no_size_k = 999.0; ///< JSON has no infinity
/// Narrow headings, in the order of `Condition`.
constexpr std::array<std::string_view, k_conditions> k_short{
    "normal", "t-open", "t-shut", "t-stick", "fan",  "radiat",
    "flow",   "air",    "sensor", "overh",   "undet"};

/// Faults in their order, then healthy outings; unseen faults in one row.
struct Row {
  std::string name;
  std::array<std::size_t, k_conditions> verdicts{};
  std::size_t right = 0;
  std::size_t all = 0;
  std::size_t rule = 0; ///< alarms of the fixed rule
};

std::size_t place_of(const Case& judged) {
  if (judged.fault && judged.label.observable) return static_cast<std::size_t>(*judged.fault);
  if (judged.fault) return k_fault_kinds;
  return k_fault_kinds + 1 + static_cast<std::size_t>(judged.outing);
}

std::string name_of_row(const Case& judged) {
  if (judged.fault && judged.label.observable) return std::string(name_of(*judged.fault));
  if (judged.fault) return "(any fault, unseen)";
  return fmt::format("healthy, {}", name_of(judged.outing));
}

bool is_right(const Case& judged) {
  if (!judged.fault) return judged.verdict.condition == Condition::normal;
  if (!judged.label.observable && judged.verdict.condition == Condition::normal) return true;
  return named_right(judged);
}

/// Names that cost somebody a part: wrong ones, and any name for a sound vehicle.
bool worth_a_line(const Case& judged) {
  if (!judged.fault) return judged.verdict.condition != Condition::normal;
  if (!judged.label.observable) return alarms(judged) && !named_right(judged);
  return !named_right(judged);
}

std::string plan_words(const FaultPlan& plan) {
  std::string words = fmt::format("severity {:.2f}", plan.severity);
  if (plan.from_s > 0.0) words += fmt::format(" from {:.0f} s", plan.from_s);
  if (plan.spells) {
    words += fmt::format(" in spells {:.0f}/{:.0f} s", plan.spells->on_s, plan.spells->off_s);
  }
  return words;
}

} // namespace

std::string confusion_text(const std::vector<Case>& cases) {
  std::map<std::size_t, Row> rows;
  for (const Case& judged : cases) {
    Row& row = rows[place_of(judged)];
    row.name = name_of_row(judged);
    ++row.verdicts.at(static_cast<std::size_t>(judged.verdict.condition));
    row.right += is_right(judged) ? 1U : 0U;
    ++row.all;
    row.rule += judged.rule.value_or(Condition::normal) != Condition::normal ? 1U : 0U;
  }
  std::string text = fmt::format("  {:<28}{:>6}{:>7}", "verdict of", "cases", "right");
  for (const std::string_view heading : k_short) text += fmt::format("{:>8}", heading);
  text += fmt::format("{:>12}\n", "rule alarms");
  for (const auto& [place, row] : rows) {
    fmt::format_to(std::back_inserter(text), "  {:<28}{:>6}{:>7}", row.name, row.all, row.right);
    for (const std::size_t count : row.verdicts)
      text += count > 0 ? fmt::format("{:>8}", count) : fmt::format("{:>8}", ".");
    text += fmt::format("{:>12}\n", row.rule);
  }
  return text;
}

std::string population_text(const std::vector<VehicleResult>& results) {
  std::string text = "drives drawn, and those of them in which the fault can be seen\n";
  for (const FaultKind kind : all_fault_kinds()) {
    Count seen;
    Count vehicles;
    for (const VehicleResult& result : results) {
      const Draws& draws = result.draws.at(static_cast<std::size_t>(kind));
      if (draws.drawn == 0) continue;
      seen.events += draws.observable;
      seen.trials += draws.drawn;
      vehicles.add(draws.observable > 0);
    }
    if (seen.trials == 0) continue;
    fmt::format_to(std::back_inserter(text),
                   "  {:<28}{:>4} of {:>4} drives, {:>3} of {} vehicles\n", name_of(kind),
                   seen.events, seen.trials, vehicles.events, vehicles.trials);
  }
  std::size_t boiled = 0;
  for (const VehicleResult& result : results) boiled += result.boiled;
  text += fmt::format("healthy drives that boiled over and were drawn anew: {}\n", boiled);
  return text;
}

std::string details_text(const std::vector<Case>& cases) {
  std::string text;
  const auto out = [&] { return std::back_inserter(text); };
  for (const Case& judged : cases) {
    if (!worth_a_line(judged)) continue;
    fmt::format_to(out(), "{} [{}] {} {:.0f} °C", judged.id, judged.vehicle_kind,
                   name_of(judged.outing), judged.ambient_c);
    if (judged.fault) {
      fmt::format_to(out(), " {} differs {:+.1f}..{:+.1f} K below {:.0f} s above {:.0f} s",
                     plan_words(judged.plan), judged.label.lowest_k, judged.label.highest_k,
                     judged.label.below_s, judged.label.above_s);
    }
    fmt::format_to(out(), " -> {} {:.2f} {}", name_of(judged.verdict.condition),
                   judged.verdict.confidence, name_of(judged.verdict.action));
    const auto& causes = judged.verdict.causes;
    for (std::size_t i = 0; i < std::min<std::size_t>(2, causes.size()); ++i) {
      fmt::format_to(out(), "{} {} {:.2f}", i == 0 ? " |" : ",", name_of(causes[i].condition),
                     causes[i].probability);
    }
    fmt::format_to(out(), " | {}\n", judged.verdict.headline);
  }
  return text;
}

std::string table_text(const std::vector<Case>& cases) {
  std::string text;
  const auto out = [&] { return std::back_inserter(text); };
  for (const Case& judged : cases) {
    fmt::format_to(
        out(),
        "{{\"id\":\"{}\",\"fault\":\"{}\",\"outing\":\"{}\",\"observable\":{},\"off_by_k\":{:.1f},"
        "\"right\":{},\"verdict\":\"{}\",\"action\":\"{}\",\"unexplained\":{},"
        "\"sustained_above_k\":{:.1f},\"causes\":{{",
        judged.id, judged.fault ? name_of(judged.plan.kind) : "", name_of(judged.outing),
        judged.label.observable, std::min(judged.label.off_by_k, k_no_size_k), is_right(judged),
        name_of(judged.verdict.condition), name_of(judged.verdict.action),
        judged.verdict.episodes.size(), judged.sustained_above_k);
    const char* comma = "";
    for (const RankedCause& cause : judged.verdict.causes) {
      fmt::format_to(out(), "{}\"{}\":[{:.3e},{:.2f}]", comma, name_of(cause.condition),
                     cause.probability, cause.log_evidence);
      comma = ",";
    }
    text += "}}\n";
  }
  return text;
}

} // namespace coolband::accuracy
