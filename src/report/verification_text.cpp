// SPDX-License-Identifier: Apache-2.0
// The proof of a repair on one screen: state first, then why, then what to do.
#include "band/history.hpp"
#include "core/signed_tenths.hpp"
#include "diagnose/plain_name.hpp"
#include "report/band_words.hpp"
#include "report/job_words.hpp"
#include "report/layout.hpp"
#include "report/svg_canvas.hpp"
#include "report/verification_report.hpp"

#include <algorithm>

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

std::string warm_up_words(const ProofDrive& drive) {
  if (!drive.warm_up) return "-";
  if (!drive.warm_up->reached_s) return drive.warm_up->given_time ? "no end" : "cut off";
  return fmt::format("{:.0f} min ({:.0f})", *drive.warm_up->reached_s / 60.0,
                     drive.warm_up->expected_s / 60.0);
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

using Told = std::vector<DriveCells>;

Told latest_told(const std::vector<ProofDrive>& drives) {
  const std::size_t left = drives.size() - std::min(drives.size(), k_most_drives_told);
  Told told;
  for (std::size_t i = left; i < drives.size(); ++i) told.push_back(cells_of(drives[i]));
  return told;
}

using Rows = std::vector<std::vector<std::string>>;

/// Columns that are left out where there is no room for them.
struct Spared {
  bool hottest = false;
  bool level = false;
};

Rows rows_of(const Told& told, Spared spared) {
  Rows rows = {{"drive"}};
  if (!spared.level) rows.front().emplace_back("°C");
  rows.front().emplace_back("K off");
  if (!spared.hottest) rows.front().emplace_back("hottest");
  rows.front().insert(rows.front().end(), {"warm-up", "verdict"});
  for (const DriveCells& cells : told) {
    std::vector<std::string> row = {cells.name};
    if (!spared.level) row.push_back(cells.level_c);
    row.push_back(cells.off_k);
    if (!spared.hottest) row.push_back(cells.hottest_c);
    row.insert(row.end(), {cells.warm_up, cells.verdict});
    rows.push_back(std::move(row));
  }
  return rows;
}

/// For a terminal that is too narrow for the table.
std::vector<std::string> lines_of(const Told& told) {
  std::vector<std::string> lines;
  for (const DriveCells& cells : told)
    lines.push_back(fmt::format("{}: {} °C, {} K off, warm-up {}: {}", cells.name, cells.level_c,
                                cells.off_k, cells.warm_up, cells.verdict));
  return lines;
}

/// The same columns before and after; none where no table of them fits.
std::optional<Spared> spared_of(const Page& page, const Told& before, const Told& after) {
  for (const Spared spared : {Spared{}, Spared{true, false}, Spared{true, true}}) {
    if (page.fits(rows_of(before, spared)) && page.fits(rows_of(after, spared))) return spared;
  }
  return std::nullopt;
}

void add_told(Page& page, const char* label, const Told& told, std::size_t all,
              const std::optional<Spared>& spared) {
  if (told.empty())
    page.add(label, "no drives");
  else if (spared)
    page.add_table(label, rows_of(told, *spared));
  else
    page.add_list(label, lines_of(told));
  if (all > told.size())
    page.add("", fmt::format("and {} (all of them with --format json)",
                             plural(all - told.size(), "earlier drive")));
}

bool any_warm_up(const std::vector<ProofDrive>& drives) {
  return std::any_of(drives.begin(), drives.end(),
                     [](const ProofDrive& drive) { return drive.warm_up.has_value(); });
}

void add_drives(Page& page, const Verification& v) {
  const std::vector<ProofDrive>& after = judged_after(v);
  const Told told_before = latest_told(v.drives.before);
  const Told told_after = latest_told(after);
  const auto spared = spared_of(page, told_before, told_after);
  add_told(page, "BEFORE", told_before, v.drives.before.size(), spared);
  add_told(page, "AFTER", told_after, after.size(), spared);
  if (any_warm_up(v.drives.before) || any_warm_up(after))
    page.add("", "warm-up: the time it took, in brackets the minutes that are usual");
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
  return {day_and_name(drive),
          number(drive.level_c),
          drive.residual_k ? signed_tenths(*drive.residual_k) : "-",
          number(drive.hottest_c),
          warm_up_words(drive),
          plain_name(name_of(drive.condition))};
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
  add_drives(page, v);
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
