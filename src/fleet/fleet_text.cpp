// SPDX-License-Identifier: Apache-2.0
// The fleet's summary for a person.
#include "fleet/fleet_report.hpp"
#include "fleet/fleet_words.hpp"
#include "report/layout.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

/// Problems and changes are told as far as there is room.
struct ToldLists {
  std::vector<std::string> attention;
  std::vector<std::string> creeping;
  std::vector<std::string> odd;
  std::vector<std::string> changes;
  std::vector<std::string> problems;
  std::vector<std::string> without_band;
};

class Teller {
 public:
  Teller(const FleetSummary& summary, const SummaryOptions& options)
      : summary_(summary), options_(options) {
    for (const Problem& problem : summary.problems()) add_problem(problem);
  }

  void take(const VehicleRecord& vehicle, const Outlook& outlook) {
    if (todo_of(vehicle, outlook) != Action::none)
      add(told_.attention, attention_words(vehicle, outlook));
    add_outlook(told_.creeping, vehicle.id, creeping_words(outlook));
    add_outlook(told_.odd, vehicle.id, odd_words(outlook));
    if (const std::string change = change_words(vehicle, summary_.run());
        !change.empty() && change != "new")
      add(told_.changes, vehicle.id + ": " + change);
    for (const Problem& problem : problems_of(vehicle)) add_problem(problem);
    if (!vehicle.band.why_none.empty())
      add(told_.without_band, vehicle.id + ": " + vehicle.band.why_none);
  }
  [[nodiscard]] const ToldLists& told() const { return told_; }

 private:
  void add(std::vector<std::string>& list, std::string text) const {
    if (list.size() < options_.most) list.push_back(std::move(text));
  }
  void add_problem(const Problem& problem) { add(told_.problems, words_of(problem)); }

  /// In short, what is surest.
  void add_outlook(std::vector<std::string>& list, const std::string& id,
                   std::vector<std::string> words) const {
    if (words.empty()) return;
    if (options_.brief) words.resize(1);
    add(list, id + ": " + joined(words, "; "));
  }

  [[nodiscard]] std::string attention_words(const VehicleRecord& vehicle,
                                            const Outlook& outlook) const {
    const VehicleState& state = vehicle.state;
    std::string text =
        fmt::format("{} - {}: {}", vehicle.id, action_words(todo_of(vehicle, outlook)),
                    finding_words(vehicle, outlook));
    if (options_.brief || state.action == Action::none) return text;
    text += " (" + ground_words(state) + "; " + state.log;
    if (!state.start.empty()) text += ", " + state.start;
    return text + ")";
  }

  const FleetSummary& summary_;
  const SummaryOptions& options_;
  ToldLists told_;
};

void add_rest(Page& page, std::size_t all, std::size_t told, std::string_view what) {
  if (all > told)
    page.add("", fmt::format("and {} more {}: --format json lists all", all - told, what));
}

std::string change_counts(const FleetCounts& counts) {
  std::vector<std::string> parts;
  const auto add = [&](Change change, std::string_view words) {
    const std::size_t count = counts.by_change[static_cast<std::size_t>(change)];
    if (count > 0) parts.push_back(fmt::format("{} {}", count, words));
  };
  add(Change::worse, "worse");
  add(Change::better, "better");
  add(Change::other, "another finding");
  add(Change::first_seen, "seen for the first time");
  return "since the last run: " + (parts.empty() ? "none" : joined(parts, ", "));
}

void add_changes(Page& page, const FleetCounts& counts, const ToldLists& told) {
  page.add("CHANGES", change_counts(counts));
  page.add_list("", told.changes);
  const auto of = [&](Change change) { return counts.by_change[static_cast<std::size_t>(change)]; };
  add_rest(page, of(Change::worse) + of(Change::better) + of(Change::other), told.changes.size(),
           "changes");
}

/// A fleet in which nothing creeps is told so, but not in a mail.
void add_outlooks(Page& page, const OutlookCounts& counts, const ToldLists& told, bool brief) {
  if (counts.charted > 0 && (counts.creeping > 0 || !brief)) {
    page.add("TRENDS", creeping_count_words(counts));
    page.add_list("", told.creeping);
    add_rest(page, counts.creeping, told.creeping.size(), "vehicles");
  }
  if (counts.compared > 0 && (counts.odd > 0 || !brief)) {
    page.add("SIBLINGS", odd_count_words(counts));
    page.add_list("", told.odd);
    add_rest(page, counts.odd, told.odd.size(), "vehicles");
  }
}

void add_attention(Page& page, const FleetCounts& counts, const ToldLists& told) {
  const std::size_t all = counts.vehicles - counts.not_judged - counts.by_action[0];
  if (all == 0) return;
  page.add_list("FIRST", told.attention, true);
  add_rest(page, all, told.attention.size(), "vehicles");
}

void add_unused(Page& page, const FleetCounts& counts, const ToldLists& told) {
  if (counts.problems > 0) {
    page.add("NOT USED", fmt::format("{} could not be used, or not in full:",
                                     counted(counts.problems, "log, trip or file")));
    page.add_list("", told.problems);
    add_rest(page, counts.problems, told.problems.size(), "problems");
  }
  if (counts.rows_set_aside > 0)
    page.add("ROWS", fmt::format("{} set aside while logs were read; each report tells why",
                                 counted(counts.rows_set_aside, "row")));
  if (counts.passed_over > 0)
    page.add("PASSED BY", fmt::format("{} whose names are no log's (--any-name reads them)",
                                      counted(counts.passed_over, "file")));
}

} // namespace

Result<std::string> render_fleet(const FleetSummary& summary, const SummaryOptions& options,
                                 const TextStyle& style) {
  const FleetCounts& counts = summary.counts();
  Teller teller(summary, options);
  if (auto error =
          summary.for_each_with_outlook([&](const VehicleRecord& vehicle, const Outlook& outlook) {
            teller.take(vehicle, outlook);
            return true;
          }))
    return *error;
  Page page(style);
  page.add("FLEET", fleet_size_words(counts));
  page.add("", fleet_state_words(counts));
  add_attention(page, counts, teller.told());
  add_outlooks(page, summary.outlooks(), teller.told(), options.brief);
  if (options.has_store) add_changes(page, counts, teller.told());
  add_unused(page, counts, teller.told());
  if (!options.brief && counts.vehicles > 0) {
    page.add("BANDS", fleet_band_words(counts));
    page.add_list("", teller.told().without_band);
  }
  return page.take();
}

} // namespace coolband
