// SPDX-License-Identifier: Apache-2.0
// The report on one screen: verdict first, then why, then what to do.
#include "coolband/report/report.hpp"
#include "report/confidence_words.hpp"
#include "report/explanation.hpp"
#include "report/job_words.hpp"
#include "report/layout.hpp"
#include "report/reading_words.hpp"
#include "report/running_words.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string_view colour_of(Action action) {
  switch (action) {
  case Action::none: return ansi::k_good;
  case Action::monitor: return ansi::k_watch;
  case Action::service: return ansi::k_fault;
  case Action::stop: return ansi::k_danger;
  }
  return ansi::k_plain;
}

/// "service: have it checked"
std::string action_words(Action action) {
  switch (action) {
  case Action::none: return "nothing to do";
  case Action::monitor: return "monitor: keep watching";
  case Action::service: return "service: have it checked";
  case Action::stop: return "stop: DO NOT DRIVE ON LIKE THIS";
  }
  return "";
}

/// "0.9 K" with its sign, for a deviation.
std::string signed_k(double value) { return fmt::format("{:+.1f} K", value); }

void add_verdict(Page& page, const Judgement& judgement) {
  page.add("VERDICT", judgement.headline, colour_of(judgement.action));
  if (judgement.condition == Condition::undetermined) {
    page.add("", action_words(judgement.action));
    return;
  }
  page.add("", fmt::format("{} ({}); {}", plain_name(name_of(judgement.condition)),
                           confidence_words(judgement.confidence), action_words(judgement.action)));
}

/// Not the verdict's own cause nor a remote one; what stops a vehicle is not offered as normal.
bool is_rival(const Judgement& judgement, const Cause& cause) {
  return cause.condition != judgement.condition && cause.probability >= 0.03 &&
         !(judgement.action == Action::stop && cause.condition == Condition::normal);
}

void add_rivals(Page& page, const TripReport& report) {
  const Judgement& judgement = report.finding.judgement;
  std::vector<std::string> lines;
  for (const Cause& cause : judgement.causes) {
    if (!is_rival(judgement, cause)) continue;
    lines.push_back(
        fmt::format("{} {:.0f} %", name_of(cause.condition), 100.0 * cause.probability));
    if (report.explain && !cause.evidence_against.empty())
      lines.back() += ": against it, " + cause.evidence_against.front();
  }
  if (report.explain)
    page.add_list("OR", lines);
  else if (!lines.empty())
    page.add("OR", joined(lines, ", "));
}

void add_episodes(Page& page, const Judgement& judgement) {
  if (judgement.episodes.empty()) return;
  constexpr std::size_t k_most = 8;
  std::vector<std::vector<std::string>> rows = {
      {"from", "to", "side", "reading", "off by", "put down to"}};
  for (std::size_t i = 0; i < judgement.episodes.size() && i < k_most; ++i) {
    const Episode& e = judgement.episodes[i];
    const std::string_view why =
        e.explained_by == Explanation::none ? name_of(e.cause) : name_of(e.explained_by);
    rows.push_back({minute_words(e.start_s), minute_words(e.end_s),
                    std::string(name_of(e.direction)), fmt::format("{:.1f} °C", e.extreme_c),
                    signed_k(e.worst_deviation_c), std::string(why)});
  }
  page.add_table("EPISODES", rows);
  if (judgement.episodes.size() > k_most) {
    page.add("", fmt::format("and {} more (all of them with --explain)",
                             judgement.episodes.size() - k_most));
  }
}

void add_numbers(Page& page, const TripReport& report) {
  for (const auto& [label, words] : number_lines(report)) page.add(label, words);
}

/// Codes that say the same share a line, and those of one system its name.
void add_codes(Page& page, const TripReport& report) {
  std::vector<std::string> lines;
  const StandardCode* before = nullptr;
  for (const StandardCode& code : report.finding.judgement.codes) {
    const bool same = before != nullptr && code.why == before->why;
    const bool same_system = same && code.system == before->system;
    std::string name = same_system ? code.code : code.system + " " + code.code;
    if (report.explain) name += " (" + code.title + ")";
    if (same)
      lines.back() += ", " + name;
    else
      lines.push_back(code.why + ": " + name);
    before = &code;
  }
  page.add_list("CODES", lines);
}

void add_limits(Page& page, const TripReport& report) {
  const auto& limits = report.finding.judgement.limits;
  constexpr std::size_t k_most = 3;
  if (report.explain || limits.size() <= k_most + 1) {
    page.add_list("NOT KNOWN", limits);
    return;
  }
  page.add_list("NOT KNOWN", {limits.begin(), limits.begin() + k_most});
  page.add("", fmt::format("and {} more (all of them with --explain)", limits.size() - k_most));
}

void add_reading(Page& page, const TripReport& report) {
  const HowRead& how = report.recording.how;
  page.add("READ AS", report.explain ? reading_words(how) : reading_in_short(how));
  page.add_list("", how.notes);
  page.add_list("CLOCK", set_aside_words(how.clock_events, "time"));
  page.add_list("SET ASIDE", set_aside_words(how.set_aside, "row"));
  page.add_list("MISSING", set_aside_words(how.missing_cells, "cell"));
}

} // namespace

std::string render_text(const TripReport& report, const TextStyle& style) {
  const Judgement& judgement = report.finding.judgement;
  Page page(style);
  page.add("TRIP", trip_words(report.recording, report.finding.trip));
  if (const std::string vehicle = vehicle_words(report); !vehicle.empty())
    page.add("VEHICLE", vehicle);
  if (!report.job.empty()) page.add("JOB", job_words(report.job));
  page.add_blank();
  add_verdict(page, judgement);
  if (judgement.condition != Condition::undetermined || judgement.reasons.size() > 1)
    page.add_list("WHY", judgement.reasons);
  add_rivals(page, report);
  page.add_list("DO NEXT", report.advice.next_steps, true);
  page.add_list("CAUTION", report.advice.cautions);
  page.add_blank();
  add_episodes(page, judgement);
  add_numbers(page, report);
  add_codes(page, report);
  if (report.explain) {
    add_explanation(page, report);
    page.add_blank();
  }
  add_limits(page, report);
  add_reading(page, report);
  return page.take();
}

} // namespace coolband
