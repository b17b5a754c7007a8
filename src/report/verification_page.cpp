// SPDX-License-Identifier: Apache-2.0
// The proof of a repair as a page for a job card or an email.
#include "report/band_words.hpp"
#include "report/job_words.hpp"
#include "report/page.hpp"
#include "report/verification_report.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string question_of(std::string_view check) {
  if (check == "fault") return "Is the fault gone?";
  if (check == "level") return "Does it run where it should?";
  if (check == "warm-up") return "Does it warm up as usual?";
  return "Is it free of air?";
}

PageTable checks_table(const Verification& v) {
  PageTable table;
  table.caption = "What the drives answer";
  table.columns = {"question", "answer", "why"};
  table.prose = true;
  for (const CheckLine& check : v.checks)
    table.rows.push_back({question_of(check.name), answer_of(check.state), check.text});
  return table;
}

void add_drives(HtmlPage& page, const std::string& caption, const std::vector<ProofDrive>& drives) {
  if (drives.empty()) return page.paragraph(caption + ": none");
  PageTable table;
  table.caption = caption;
  table.columns = {"drive",        "level (°C)",      "off by (K)",
                   "hottest (°C)", "warm-up (usual)", "verdict"};
  table.numeric = {false, true, true, true, true};
  for (const ProofDrive& drive : drives) {
    const DriveCells cells = cells_of(drive);
    table.rows.push_back(
        {cells.name, cells.level_c, cells.off_k, cells.hottest_c, cells.warm_up, cells.verdict});
  }
  page.table(table);
}

} // namespace

std::string render_verification_page(const VerificationReport& report) {
  const Verification& v = report.verification;
  const std::string vehicle = report.vehicle.empty() ? "Vehicle not named" : report.vehicle;
  HtmlPage page("Did the repair work?", vehicle);
  page.banner(action_of(v.state), v.headline,
              v.state == VerifyState::verified ? "" : v.reasons.back());
  if (!report.job.empty()) page.facts(job_pairs(report.job));
  page.section("Answers");
  page.table(checks_table(v));
  page.picture(draw_verification(report), picture_words(report));
  if (!v.next_steps.empty()) {
    page.section("Do next");
    page.steps(v.next_steps);
    page.cautions(v.cautions);
  }
  page.section("Drives");
  page.facts({{"Normal", limits_words(report.band)}, {"Rests on", origin_words(report.band)}});
  add_drives(page, "Before the repair", v.drives.before);
  add_drives(page, "After the repair", judged_after(v));
  if (!v.limits.empty()) {
    page.section("Not known");
    page.list(v.limits);
  }
  return page.finished();
}

} // namespace coolband
