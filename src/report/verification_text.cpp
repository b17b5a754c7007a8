// SPDX-License-Identifier: Apache-2.0
// The proof of a repair on one screen: state first, then why, then what to do.
#include "report/band_words.hpp"
#include "report/layout.hpp"
#include "report/verification_report.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_most_drives = 6;

std::string_view colour_of(VerifyState state) {
  switch (state) {
  case VerifyState::verified: return ansi::k_good;
  case VerifyState::not_yet: return ansi::k_watch;
  case VerifyState::not_verified: return ansi::k_fault;
  }
  return ansi::k_plain;
}

std::string number(const std::optional<double>& value, const char* unit) {
  return value ? fmt::format("{:.1f} {}", *value, unit) : "-";
}

std::string warm_up_words(const ProofDrive& drive) {
  if (!drive.warm_up) return "-";
  const double usual_min = drive.warm_up->expected_s / 60.0;
  if (!drive.warm_up->reached_s) return fmt::format("none ({:.0f})", usual_min);
  return fmt::format("{:.0f} min ({:.0f})", *drive.warm_up->reached_s / 60.0, usual_min);
}

std::string day_and_name(const ProofDrive& drive) {
  constexpr std::size_t k_day = 10;
  const std::string day = drive.start.size() > k_day ? drive.start.substr(0, k_day) : "";
  // A file that is named by its day says it already.
  const bool twice = day.empty() || drive.source.find(day) != std::string::npos;
  return twice ? drive.source : drive.source + " " + day;
}

/// As a question that "yes" is a good answer to.
std::string label_of(std::string_view check) {
  if (check == "fault") return "FAULT GONE";
  if (check == "level") return "LEVEL OK";
  if (check == "warm-up") return "WARM-UP OK";
  return "AIR GONE";
}

std::string answer_of(const std::optional<VerifyState>& state) {
  if (!state) return "unknown";
  switch (*state) {
  case VerifyState::verified: return "yes";
  case VerifyState::not_yet: return "not yet";
  case VerifyState::not_verified: return "NO";
  }
  return {};
}

void add_drives(Page& page, const char* label, const std::vector<ProofDrive>& drives) {
  if (drives.empty()) {
    page.add(label, "no drives");
    return;
  }
  auto rows = drive_rows(drives);
  const std::size_t left = drives.size() - std::min(drives.size(), k_most_drives);
  rows.erase(rows.begin() + 1, rows.begin() + 1 + static_cast<std::ptrdiff_t>(left));
  page.add_table(label, rows);
  if (left > 0)
    page.add("",
             fmt::format("and {} (all of them with --format json)", plural(left, "earlier drive")));
}

} // namespace

const std::vector<ProofDrive>& judged_after(const Verification& v) {
  return v.level.by_moved ? v.drives.moved->drives : v.drives.after;
}

Action action_of(VerifyState state) {
  switch (state) {
  case VerifyState::verified: return Action::none;
  case VerifyState::not_yet: return Action::monitor;
  case VerifyState::not_verified: return Action::service;
  }
  return Action::none;
}

std::vector<std::vector<std::string>> drive_rows(const std::vector<ProofDrive>& drives) {
  std::vector<std::vector<std::string>> rows = {
      {"drive", "level", "off by", "hottest", "warm-up (usual)", "verdict"}};
  for (const ProofDrive& d : drives) {
    const std::string off = d.residual_k ? fmt::format("{:+.1f} K", *d.residual_k) : "-";
    rows.push_back({day_and_name(d), number(d.level_c, "°C"), off, number(d.hottest_c, "°C"),
                    warm_up_words(d), std::string(name_of(d.condition))});
  }
  return rows;
}

std::string render_verification(const VerificationReport& report, const TextStyle& style) {
  const Verification& v = report.verification;
  Page page(style);
  page.add("VEHICLE", report.vehicle.empty() ? "unknown" : report.vehicle);
  page.add_blank();
  page.add("VERDICT", v.headline, colour_of(v.state));
  for (const CheckLine& check : v.checks)
    page.add(label_of(check.name), answer_of(check.state) + ": " + check.text);
  page.add_list("DO NEXT", v.next_steps, true);
  page.add_list("CAUTION", v.cautions);
  page.add_blank();
  page.add("NORMAL", limits_words(report.band) + ", " + origin_words(report.band));
  add_drives(page, "BEFORE", v.drives.before);
  add_drives(page, "AFTER", judged_after(v));
  page.add_list("NOT KNOWN", v.limits);
  return page.take();
}

} // namespace coolband
