// SPDX-License-Identifier: Apache-2.0
// The report on one screen: the verdict first, then what to do, why, and what is not known.
#include "coolband/report/report.hpp"
#include "core/signed_tenths.hpp"
#include "report/confidence_words.hpp"
#include "report/explanation.hpp"
#include "report/job_words.hpp"
#include "report/layout.hpp"
#include "report/reading_words.hpp"
#include "report/running_words.hpp"

#include <algorithm>
#include <array>
#include <cstdint>

#include <fmt/core.h>

namespace coolband {

namespace {

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
  // Without anything judged these are how common each cause is, whatever the vehicle.
  if (judgement.judged_s <= 0.0 && judgement.condition == Condition::undetermined) return;
  std::vector<std::string> lines;
  for (const Cause& cause : judgement.causes) {
    if (!is_rival(judgement, cause)) continue;
    lines.push_back(
        fmt::format("{} {:.0f} %", suspect_name(cause.condition), 100.0 * cause.probability));
    if (report.explain && !cause.evidence_against.empty())
      lines.back() += ": against it, " + cause.evidence_against.front();
  }
  if (report.explain)
    page.add_list("OR", lines);
  else if (!lines.empty())
    page.add("OR", joined(lines, ", "));
}

/// How many of each are told.
struct Most {
  std::size_t reasons;
  std::size_t episodes;
  std::size_t limits;
  std::size_t numbers = SIZE_MAX; ///< in their order: what is normal, how it ran, boiling
};

/// A report that does not explain itself shall fit a screen; the first of these that does is taken.
/// The last ones are for narrow terminals.
constexpr std::array<Most, 12> k_most{{{4, 6, 4},
                                       {3, 4, 3},
                                       {3, 4, 2},
                                       {2, 4, 2},
                                       {2, 4, 1},
                                       {2, 3, 1},
                                       {1, 3, 1},
                                       {1, 2, 1},
                                       {1, 2, 0},
                                       {1, 2, 0, 4},
                                       {1, 1, 0, 3},
                                       {1, 1, 0, 2}}};

/// 45 lines on a terminal of 80 columns; 50 of 60 and 60 of 40, whose lines hold less.
std::size_t screen_lines(int width) {
  const auto below = [width](int columns) {
    return static_cast<std::size_t>(std::max(0, columns - std::max(width, 40)));
  };
  return 45 + below(80) / 4 + below(60) / 4;
}

void add_rest(Page& page, std::size_t all, std::size_t told) {
  if (all > told) page.add("", fmt::format("and {} more (all with --explain)", all - told));
}

void add_episodes(Page& page, const Judgement& judgement, std::size_t most) {
  if (judgement.episodes.empty()) return;
  std::vector<std::vector<std::string>> rows = {
      {"from", "to", "side", "reading", "off by", "put down to"}};
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < judgement.episodes.size() && i < most; ++i) {
    const Episode& e = judgement.episodes[i];
    rows.push_back({minute_words(e.start_s), minute_words(e.end_s),
                    std::string(name_of(e.direction)), fmt::format("{:.1f} °C", e.extreme_c),
                    signed_tenths(e.worst_deviation_c) + " K", plain_account(e)});
    const auto& row = rows.back();
    lines.push_back(
        fmt::format("{} to {}, {}: {}, {}: {}", row[0], row[1], row[2], row[3], row[4], row[5]));
  }
  if (page.fits(rows))
    page.add_table("EPISODES", rows);
  else
    page.add_list("EPISODES", lines);
  add_rest(page, judgement.episodes.size(), lines.size());
}

void add_numbers(Page& page, const TripReport& report, std::size_t most) {
  const auto lines = number_lines(report);
  const std::size_t told = std::min(most, lines.size());
  for (std::size_t i = 0; i < told; ++i) page.add(lines[i].first, lines[i].second);
  add_rest(page, lines.size(), told);
}

std::string code_name(const StandardCode& code, const StandardCode* before) {
  const bool same_system = before != nullptr && before->system == code.system;
  return same_system ? code.code : code.system + " " + code.code;
}

void add_codes(Page& page, const TripReport& report) {
  std::vector<std::string> lines;
  std::string names;
  const StandardCode* before = nullptr;
  for (const StandardCode& code : report.finding.judgement.codes) {
    names += (before == nullptr ? "" : ", ") + code_name(code, before);
    lines.push_back(fmt::format("{} {} ({}): {}", code.system, code.code, code.title, code.why));
    before = &code;
  }
  if (report.explain)
    page.add_list("CODES", lines);
  else if (!names.empty())
    page.add("CODES", names);
}

void add_some(Page& page, std::string_view label, const std::vector<std::string>& items,
              std::size_t most) {
  // To say that there is one more takes the line that it saves.
  const bool all = items.size() <= most || (most > 0 && items.size() == most + 1);
  if (all) {
    page.add_list(label, items);
  } else if (most == 0) {
    page.add(label, fmt::format("{} things: see --explain", items.size()));
  } else {
    page.add_list(label, {items.begin(), items.begin() + static_cast<std::ptrdiff_t>(most)});
    add_rest(page, items.size(), most);
  }
}

/// As running text: a list takes more lines than it is read.
void add_cautions(Page& page, const TripReport& report) {
  if (!report.advice.cautions.empty()) page.add("CAUTION", joined(report.advice.cautions, "; "));
}

void add_reading(Page& page, const TripReport& report) {
  const HowRead& how = report.recording.how;
  page.add("READ AS", report.explain ? reading_words(how) : reading_in_short(how));
  page.add_list("", how.notes);
  page.add_list("CLOCK", set_aside_words(how.clock_events, "time"));
  page.add_list("SET ASIDE", set_aside_words(how.set_aside, "row"));
  page.add_list("MISSING", set_aside_words(how.missing_cells, "cell"));
}

void add_head(Page& page, const TripReport& report) {
  page.add("TRIP", trip_words(report.recording, report.finding.trip));
  if (const std::string vehicle = vehicle_words(report); !vehicle.empty())
    page.add("VEHICLE", vehicle);
  if (!report.job.empty()) page.add("JOB", job_words(report.job));
}

Page written(const TripReport& report, const TextStyle& style, const Most& most) {
  const Judgement& judgement = report.finding.judgement;
  Page page(style);
  add_verdict(page, judgement);
  add_head(page, report);
  page.add_blank();
  page.add_list("DO NEXT", report.advice.next_steps, true);
  if (judgement.condition != Condition::undetermined || judgement.reasons.size() > 1)
    add_some(page, "WHY", judgement.reasons, most.reasons);
  add_rivals(page, report);
  page.add_blank();
  add_episodes(page, judgement, most.episodes);
  add_numbers(page, report, most.numbers);
  add_codes(page, report);
  if (report.explain) {
    add_explanation(page, report);
    page.add_blank();
  }
  add_some(page, "NOT KNOWN", judgement.limits, most.limits);
  add_cautions(page, report);
  add_reading(page, report);
  return page;
}

} // namespace

std::string render_text(const TripReport& report, const TextStyle& style) {
  constexpr std::size_t k_all = SIZE_MAX;
  if (report.explain) return written(report, style, {k_all, k_all, k_all}).take();
  Page page(style);
  for (const Most& most : k_most) {
    page = written(report, style, most);
    if (page.lines() <= screen_lines(style.width)) break;
  }
  return page.take();
}

} // namespace coolband
