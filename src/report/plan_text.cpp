// SPDX-License-Identifier: Apache-2.0
// The job plan for a terminal or a printer.
#include "report/layout.hpp"
#include "report/plan_report.hpp"
#include "report/plan_words.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string_view job_colour(const JobPlan& plan) {
  if (plan.trip.action == Action::stop) return ansi::k_danger;
  if (plan.purpose == JobPurpose::watch) return ansi::k_good;
  return ansi::k_fault;
}

void add_card(Page& page, const JobPlan& plan) {
  page.add("JOB", job_headline(plan), job_colour(plan));
  for (const auto& [name, value] : job_card(plan)) page.add("", fmt::format("{}: {}", name, value));
  if (!plan.missing.empty()) page.add("", "a profile would add " + joined(plan.missing, "; "));
}

void add_checks(Page& page, const JobPlan& plan) {
  const std::vector<std::string> lines = check_lines(plan);
  page.add_list("CHECK", lines, true);
  if (const std::string limit = switch_off_words(plan); !limit.empty()) page.add("", limit);
  page.add(lines.empty() ? "CHECK" : "", checks_outcome(plan));
}

void add_parts(Page& page, const JobPlan& plan) {
  if (plan.parts.empty()) return;
  page.add_list("PARTS", needed_lines(plan));
  if (const std::string words = if_bad_words(plan); !words.empty()) page.add_list("", {words});
  if (plan.costs) page.add("COST", cost_words(plan));
}

void add_fasteners(Page& page, const JobPlan& plan) {
  if (plan.fasteners.empty()) return;
  std::vector<std::string> lines;
  for (const FastenerGroup& group : plan.fasteners)
    lines.push_back(fmt::format("{}: ___ out, ___ in, maker's torque ______ N·m{}{}", group.what,
                                group.note.empty() ? "" : "; ", group.note));
  page.add_list("COUNT OFF", lines);
  page.add_list("", torque_lines());
}

void add_together(Page& page, const JobPlan& plan) {
  if (plan.together.empty()) return;
  std::vector<std::string> lines = life_lines(plan);
  if (std::string words = within_reach_words(plan); !words.empty())
    lines.push_back(std::move(words));
  page.add_list("TOGETHER?", lines);
}

void add_cautions(Page& page, const JobPlan& plan) {
  page.add_list("CAUTIONS", caution_lines(plan));
}

} // namespace

std::string render_plan(const JobPlan& plan, const TextStyle& style) {
  Page page(style);
  add_card(page, plan);
  page.add_blank();
  add_cautions(page, plan);
  page.add_blank();
  add_checks(page, plan);
  if (plan.purpose == JobPurpose::repair) page.add_blank();
  if (plan.purpose == JobPurpose::watch && !plan.trip.limits.empty())
    page.add_list("NOT TOLD", plan.trip.limits);
  add_parts(page, plan);
  if (plan.coolant) page.add_list("COOLANT", coolant_lines(*plan.coolant));
  page.add_list("WORK", plan.work.steps, true);
  add_fasteners(page, plan);
  page.add_list("BLEED", plan.bleeding, true);
  add_together(page, plan);
  page.add_list("WASTE", plan.work.waste);
  page.add_blank();
  page.add_list(plan.purpose == JobPurpose::repair ? "PROVE IT" : "NEXT DRIVE", proof_lines(plan));
  return page.take();
}

} // namespace coolband
