// SPDX-License-Identifier: Apache-2.0
// What a page of HTML says of one trip, verdict first.
#include "coolband/report/report.hpp"
#include "core/signed_tenths.hpp"
#include "report/confidence_words.hpp"
#include "report/explanation.hpp"
#include "report/job_words.hpp"
#include "report/page.hpp"
#include "report/reading_words.hpp"
#include "report/running_words.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace coolband {

namespace {

constexpr std::size_t k_most_rows = 60; ///< of episodes; a page is to be read

using Section = std::pair<std::string, std::string>;

std::string percent(double share) {
  if (share < 0.001) return "below 0.1 %";
  return fmt::format("{:.1f} %", 100.0 * share);
}

std::string verdict_words(const Judgement& judgement) {
  if (judgement.condition == Condition::undetermined) return "";
  return fmt::format("{}: {}.", plain_name(name_of(judgement.condition)),
                     confidence_words(judgement.confidence));
}

std::string banner_of(const Judgement& judgement) {
  HtmlPage part("", "");
  part.banner(judgement.action, judgement.headline, verdict_words(judgement));
  return part.take();
}

std::string to_do(const TripReport& report) {
  HtmlPage part("", "");
  part.steps(report.advice.next_steps);
  part.cautions(report.advice.cautions);
  return part.take();
}

std::string trip_picture(const TripReport& report, const std::string& id) {
  HtmlPage part("", "");
  part.picture(draw_trip(report, id),
               "The coolant over the trip, beside what is normal for this vehicle in the same load "
               "and weather. Shaded: where it left that, numbered as in the table of episodes.",
               PictureRoom::large);
  return part.take();
}

constexpr double k_remote = 0.01; ///< causes less probable only get a line

PageTable causes_table(const Judgement& judgement) {
  PageTable table{"Causes, the most probable first",
                  {"cause", "probability", "for it", "against it", "what would settle it"},
                  {},
                  {false, true},
                  {},
                  true};
  const auto listed = [](const std::vector<std::string>& items) {
    return items.empty() ? std::string("–") : joined(items, "; ");
  };
  for (const Cause& cause : judgement.causes) {
    if (cause.probability < k_remote) continue;
    table.rows.push_back({suspect_name(cause.condition), percent(cause.probability),
                          listed(cause.evidence_for), listed(cause.evidence_against),
                          listed(cause.confirm_by)});
  }
  return table;
}

std::string remote_causes(const Judgement& judgement) {
  std::string words;
  for (const Cause& cause : judgement.causes) {
    if (cause.probability < k_remote)
      words += (words.empty() ? "" : ", ") + suspect_name(cause.condition);
  }
  return words.empty() ? "" : "Below 1 %: " + words + ".";
}

std::string reasons(const TripFinding& finding) {
  const Judgement& judgement = finding.judgement;
  HtmlPage part("", "");
  part.list(judgement.reasons);
  if (!judgement.causes.empty()) part.table(causes_table(judgement));
  if (const std::string note = shares_note(finding); !note.empty()) part.paragraph(note);
  if (const std::string words = remote_causes(judgement); !words.empty()) part.paragraph(words);
  return part.take();
}

PageTable accounts_table(const Judgement& judgement) {
  PageTable table{"Accounts of the trip by the heat balance, best first; log evidence is beyond "
                  "that of a sound vehicle, above 0 speaks for the account",
                  {"cause", "account", "misfit (K)", "log evidence"},
                  {},
                  {false, false, true, true},
                  {},
                  true};
  for (const Hypothesis& h : judgement.hypotheses) {
    table.rows.push_back({plain_name(name_of(h.condition)), h.what,
                          fmt::format("{:.2f}", h.misfit_k), signed_tenths(h.log_evidence)});
  }
  return table;
}

/// Folded: it is for who wants to know how the verdict came about.
std::string evidence_fold(const Judgement& judgement) {
  std::vector<std::string> lines;
  for (const Testimony& item : testimonies(judgement)) lines.push_back(item.text);
  if (lines.empty() && judgement.hypotheses.empty()) return "";
  HtmlPage inner("", "");
  inner.list(lines);
  if (!judgement.hypotheses.empty()) inner.table(accounts_table(judgement));
  HtmlPage part("", "");
  part.fold(fmt::format("All the evidence ({})", lines.size() + judgement.hypotheses.size()),
            inner);
  return part.take();
}

std::vector<std::string> episode_row(const TripReport& report, std::size_t index) {
  const Episode& e = report.finding.judgement.episodes[index];
  const auto whole = [](const std::optional<double>& value) {
    return value ? fmt::format("{:.0f}", *value) : std::string("–");
  };
  const std::string start =
      format_instant(report.recording.clock, report.finding.trip.start_s + e.start_s);
  return {fmt::format("{}", index + 1),
          minute_words(e.start_s) + (start.empty() ? "" : " (" + start + ")"),
          minute_words(e.end_s),
          std::string(name_of(e.direction)),
          fmt::format("{:.1f}", e.extreme_c),
          fmt::format("{:+.1f}", e.worst_deviation_c),
          whole(e.load_pct),
          whole(e.ambient_c),
          whole(e.speed_kmh),
          plain_account(e)};
}

std::string episodes(const TripReport& report) {
  const auto& all = report.finding.judgement.episodes;
  HtmlPage part("", "");
  if (all.empty()) {
    part.paragraph("None: the reading stayed within normal as far as it could be judged.");
    return part.take();
  }
  PageTable table{"Episodes: where the coolant left normal, or the reading left reality",
                  {"no.", "from", "to", "side", "reading (°C)", "off by (K)", "load (%)",
                   "outside (°C)", "speed (km/h)", "put down to"},
                  {},
                  {true, false, false, false, true, true, true, true, true},
                  {}};
  for (std::size_t i = 0; i < all.size() && i < k_most_rows; ++i)
    table.rows.push_back(episode_row(report, i));
  part.table(table);
  if (all.size() > k_most_rows) {
    part.paragraph(
        fmt::format("And {} more: the JSON report lists all of them.", all.size() - k_most_rows));
  }
  return part.take();
}

/// "Warm-up" for "WARM-UP".
std::string title_case(std::string label) {
  std::transform(label.begin() + 1, label.end(), label.begin() + 1, [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return label;
}

PageTable warm_up_table(const TripFinding& finding) {
  PageTable table{"Warm-ups",
                  {"from", "start (°C)", "regulated after", "usual", "opened near (°C)"},
                  {},
                  {false, true, false, false, true},
                  {}};
  for (const WarmUp& w : finding.trip.warm_ups) {
    const auto usual_s = finding.band ? expected_warm_up_s(*finding.band, w) : std::nullopt;
    table.rows.push_back({minute_words(w.start_s), fmt::format("{:.1f}", w.from_c),
                          w.reached_s ? format_duration(*w.reached_s) : "not reached",
                          usual_s ? format_duration(*usual_s) : "–",
                          w.opened_c ? fmt::format("{:.0f}", *w.opened_c) : "–"});
  }
  return table;
}

std::string numbers(const TripReport& report) {
  HtmlPage part("", "");
  std::vector<std::pair<std::string, std::string>> facts;
  for (const auto& [label, words] : number_lines(report)) {
    if (label != "WARM-UP") facts.emplace_back(title_case(label), words);
  }
  part.facts(facts);
  if (!report.finding.trip.warm_ups.empty()) part.table(warm_up_table(report.finding));
  PageTable codes{
      "Standard codes that the finding corresponds to; the vehicle need not have set them",
      {"code", "title", "why"},
      {},
      {},
      {},
      true};
  for (const StandardCode& code : report.finding.judgement.codes)
    codes.rows.push_back({code.system + " " + code.code, code.title, code.why});
  if (!codes.rows.empty()) part.table(codes);
  return part.take();
}

std::string valve_picture(const TripReport& report, const std::string& id) {
  HtmlPage part("", "");
  part.picture(draw_valve(report, id),
               "What the radiator must have carried by the balance of heat, beside what the "
               "circuit learned for this vehicle expects. A sound thermostat: near nothing while "
               "cold, rising from the start of opening.");
  return part.take();
}

std::string reading(const TripReport& report) {
  const HowRead& how = report.recording.how;
  HtmlPage part("", "");
  part.facts(
      {{"Log", trip_words(report.recording, report.finding.trip)}, {"Form", form_words(how)}});
  PageTable table{"Columns", {"what", "heading", "unit", "unit from"}, {}, {}, {}};
  for (const ColumnReading& column : how.columns) {
    table.rows.push_back(
        {std::string(name_of(column.role)), column.heading, column.unit, column.unit_origin});
  }
  part.table(table);
  std::vector<std::string> remarks = how.notes;
  const auto add = [&](const std::vector<SetAside>& items, std::string_view noun) {
    for (std::string& words : set_aside_words(items, noun)) remarks.push_back(std::move(words));
  };
  add(how.clock_events, "time");
  add(how.set_aside, "row");
  add(how.missing_cells, "cell");
  if (!remarks.empty())
    part.fold(fmt::format("Remarks on reading the log ({})", remarks.size()), remarks);
  return part.take();
}

} // namespace

TripPage page_of(const TripReport& report, std::size_t number) {
  const Judgement& judgement = report.finding.judgement;
  const std::string id = fmt::format("trip-{}", number);
  TripPage page;
  page.id = id;
  page.action = judgement.action;
  page.vehicle = vehicle_words(report);
  page.name = short_trip_words(report.recording, report.finding.trip);
  page.about = trip_words(report.recording, report.finding.trip);
  page.headline = judgement.headline;
  page.condition = plain_name(name_of(judgement.condition));
  page.banner = banner_of(judgement);
  if (std::string html = to_do(report); !html.empty())
    page.sections.emplace_back("What to do", std::move(html));
  // On paper a picture takes half of a sheet, and what can be broken best stands before it.
  page.sections.emplace_back("Why", reasons(report.finding));
  page.sections.emplace_back("The trip", trip_picture(report, id + "-time"));
  page.sections.emplace_back("Episodes", episodes(report));
  page.sections.emplace_back("The numbers", numbers(report));
  if (!judgement.limits.empty()) {
    HtmlPage part("", "");
    part.list(judgement.limits);
    page.sections.emplace_back("What the log could not show", part.take());
  }
  if (std::string html = evidence_fold(judgement); !html.empty())
    page.sections.emplace_back("How the verdict came about", std::move(html));
  page.sections.emplace_back("How the log was read", reading(report));
  if (report.finding.band && report.finding.band->circuit)
    page.sections.emplace_back("How the thermostat opened", valve_picture(report, id + "-valve"));
  return page;
}

} // namespace coolband
