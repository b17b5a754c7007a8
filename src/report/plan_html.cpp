// SPDX-License-Identifier: Apache-2.0
// The job plan as a page for the job card.
#include "report/page.hpp"
#include "report/plan_report.hpp"
#include "report/plan_words.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

using Rows = std::vector<std::vector<std::string>>;

/// Rows with their heading in front.
PageTable table_of(std::string caption, Rows rows) {
  PageTable table;
  table.caption = std::move(caption);
  table.columns = std::move(rows.front());
  rows.erase(rows.begin());
  table.rows = std::move(rows);
  return table;
}

void add_checks(HtmlPage& page, const JobPlan& plan) {
  page.section("Check first, cheapest first");
  const std::vector<std::string> boxes = check_lines(plan);
  if (!boxes.empty()) page.checklist(boxes);
  if (const std::string limit = switch_off_words(plan); !limit.empty()) page.paragraph(limit);
  page.paragraph(checks_outcome(plan));
}

void add_parts(HtmlPage& page, const JobPlan& plan) {
  if (plan.parts.empty()) return;
  page.section("Parts and consumables");
  PageTable table = table_of("What to have ready", part_rows(plan));
  table.numeric = {true};
  if (plan.costs) table.numeric = {true, false, true, true};
  page.table(table);
  if (plan.costs) page.paragraph(cost_words(plan));
  if (!plan.coolant) return;
  page.section("Coolant");
  page.list(coolant_lines(*plan.coolant));
}

void add_fasteners(HtmlPage& page, const JobPlan& plan) {
  if (plan.fasteners.empty()) return;
  page.section("Fasteners to count off");
  PageTable table;
  table.caption = "Count out, count in; torque from the maker";
  table.columns = {"fastener", "out", "in", "maker's torque (N·m)", "note"};
  for (const FastenerGroup& group : plan.fasteners)
    table.rows.push_back({group.what, "____", "____", "________", group.note});
  page.table(table);
  page.list(torque_lines());
}

void add_work(HtmlPage& page, const JobPlan& plan) {
  if (plan.work.steps.empty()) return;
  page.section("Order of work");
  page.checklist(plan.work.steps);
  add_fasteners(page, plan);
  if (!plan.bleeding.empty()) {
    page.section("Filling and bleeding");
    page.checklist(plan.bleeding);
  }
  if (!plan.together.empty()) {
    page.section("Replace together?");
    auto rows = together_rows(plan);
    if (!rows.empty())
      page.table(
          table_of(fmt::format("Chance of failing within the next {:.0f} km by the lives given",
                               plan.next_km),
                   std::move(rows)));
    if (const std::string words = within_reach_words(plan); !words.empty()) page.paragraph(words);
  }
  if (plan.work.waste.empty()) return;
  page.section("Old coolant");
  page.list(plan.work.waste);
}

} // namespace

std::string render_plan_html(const JobPlan& plan) {
  const std::string vehicle =
      plan.trip.vehicle_id.empty() ? std::string("vehicle not named") : plan.trip.vehicle_id;
  HtmlPage page("Job plan: " + vehicle, plan.trip.source);
  page.banner(plan.trip.action, job_headline(plan), plan.trip.headline);
  page.facts(job_card(plan));
  page.cautions(caution_lines(plan));
  if (!plan.missing.empty()) {
    page.paragraph("A profile would add:");
    page.list(plan.missing);
  }
  add_checks(page, plan);
  add_parts(page, plan);
  add_work(page, plan);
  page.section(plan.purpose == JobPurpose::repair ? "Prove it" : "Next drive");
  page.list(proof_lines(plan));
  if (!plan.trip.limits.empty()) page.fold("What the trip could not tell", plan.trip.limits);
  return page.finished();
}

} // namespace coolband
