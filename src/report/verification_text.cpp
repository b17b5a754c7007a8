// SPDX-License-Identifier: Apache-2.0
// The proof of a repair on one screen: state first, then why, then what to do.
#include "band/history.hpp"
#include "diagnose/plain_name.hpp"
#include "report/band_words.hpp"
#include "report/job_words.hpp"
#include "report/layout.hpp"
#include "report/svg_canvas.hpp"
#include "report/verification_report.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_most_drives_told = 6;

std::string_view colour_of(VerifyState state) {
  switch (state) {
  case VerifyState::verified: return ansi::k_good;
  case VerifyState::not_yet: return ansi::k_watch;
  case VerifyState::not_verified: return ansi::k_fault;
  }
  return ansi::k_plain;
}

std::string number(const std::optional<double>& value) {
  return value ? fmt::format("{:.1f}", *value) : "-";
}

/// Never "-0.0".
std::string signed_number(const std::optional<double>& value) {
  if (!value) return "-";
  return std::abs(*value) < 0.05 ? "0.0" : fmt::format("{:+.1f}", *value);
}

std::string warm_up_words(const ProofDrive& drive) {
  if (!drive.warm_up) return "-";
  const std::string usual = fmt::format(" ({:.0f})", drive.warm_up->expected_s / 60.0);
  if (!drive.warm_up->reached_s) return (drive.warm_up->given_time ? "none" : "cut") + usual;
  return fmt::format("{:.0f}", *drive.warm_up->reached_s / 60.0) + usual;
}

std::string day_and_name(const ProofDrive& drive) {
  constexpr std::size_t k_longest_name = 24;
  const std::string day = day_of(drive.start).value_or("");
  const std::string name = shortened(drive.source, k_longest_name);
  // A file that is named by its day says it already.
  const bool twice = day.empty() || drive.source.find(day) != std::string::npos;
  return twice ? name : name + " " + day;
}

/// As a question that "yes" is a good answer to.
std::string label_of(std::string_view check) {
  if (check == "fault") return "FAULT GONE";
  if (check == "level") return "LEVEL OK";
  if (check == "warm-up") return "WARM-UP OK";
  return "AIR GONE";
}

/// A bad answer is seen at once.
std::string loud_answer(const std::optional<VerifyState>& state) {
  return state == VerifyState::not_verified ? "NO" : answer_of(state);
}

/// The hottest reading only where there is room.
std::vector<std::vector<std::string>> rows_of(const std::vector<ProofDrive>& drives, bool wide) {
  std::vector<std::vector<std::string>> rows = {{"drive", "°C", "K off", "warm-up", "verdict"}};
  if (wide) rows.front().insert(rows.front().begin() + 3, "hottest");
  const std::size_t left = drives.size() - std::min(drives.size(), k_most_drives_told);
  for (std::size_t i = left; i < drives.size(); ++i) {
    const DriveCells cells = cells_of(drives[i]);
    rows.push_back({cells.name, cells.level_c, cells.off_k, cells.warm_up_min, cells.verdict});
    if (wide) rows.back().insert(rows.back().begin() + 3, cells.hottest_c);
  }
  return rows;
}

void add_drives(Page& page, const char* label, const std::vector<ProofDrive>& drives, bool wide) {
  if (drives.empty()) {
    page.add(label, "no drives");
    return;
  }
  page.add_table(label, rows_of(drives, wide));
  if (drives.size() > k_most_drives_told)
    page.add("", fmt::format("and {} (all of them with --format json)",
                             plural(drives.size() - k_most_drives_told, "earlier drive")));
}

} // namespace

std::string answer_of(const std::optional<VerifyState>& state) {
  if (!state) return "unknown";
  switch (*state) {
  case VerifyState::verified: return "yes";
  case VerifyState::not_yet: return "not yet";
  case VerifyState::not_verified: return "no";
  }
  return {};
}

Action action_of(VerifyState state) {
  switch (state) {
  case VerifyState::verified: return Action::none;
  case VerifyState::not_yet: return Action::monitor;
  case VerifyState::not_verified: return Action::service;
  }
  return Action::none;
}

DriveCells cells_of(const ProofDrive& drive) {
  return {day_and_name(drive),     number(drive.level_c), signed_number(drive.residual_k),
          number(drive.hottest_c), warm_up_words(drive),  plain_name(name_of(drive.condition))};
}

std::string render_verification(const VerificationReport& report, const TextStyle& style) {
  const Verification& v = report.verification;
  Page page(style);
  page.add("VEHICLE", report.vehicle.empty() ? "unknown" : report.vehicle);
  if (!report.job.empty()) page.add("JOB", job_words(report.job));
  page.add_blank();
  page.add("VERDICT", v.headline, colour_of(v.state));
  for (const CheckLine& check : v.checks)
    page.add(label_of(check.name), loud_answer(check.state) + ": " + check.text);
  page.add_list("DO NEXT", v.next_steps, true);
  page.add_list("CAUTION", v.cautions);
  page.add_blank();
  page.add("NORMAL", limits_words(report.band) + ", " + origin_words(report.band));
  constexpr int k_wide = 90;
  add_drives(page, "BEFORE", v.drives.before, style.width >= k_wide);
  add_drives(page, "AFTER", judged_after(v), style.width >= k_wide);
  constexpr std::size_t k_most_limits = 5;
  const auto shown = std::min(v.limits.size(), k_most_limits);
  page.add_list("NOT KNOWN",
                {v.limits.begin(), v.limits.begin() + static_cast<std::ptrdiff_t>(shown)});
  if (shown < v.limits.size())
    page.add("",
             fmt::format("and {} more (all of them with --format json)", v.limits.size() - shown));
  return page.take();
}

} // namespace coolband
