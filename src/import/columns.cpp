// SPDX-License-Identifier: Apache-2.0
// Candidates by vocabulary, one winner a role, a note on the others, and a clear refusal where
// there is none.
#include "import/columns.hpp"

#include "core/suggest.hpp"
#include "import/candidates.hpp"
#include "import/heading.hpp"
#include "import/input_error.hpp"
#include "import/time_form.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_headings_quoted = 24;
// Each of these is compared with every phrase; a table of ten thousand columns must not wait.
constexpr std::size_t k_headings_compared = 200;

bool is_of_cells(Role role) { return static_cast<std::size_t>(role) >= k_role_count; }

class Planner {
 public:
  Planner(const TableHead& head, const ImportOptions& options)
      : head_(head), options_(options), taken_(head.width, false) {
    readings_.resize(head.width);
    for (std::size_t i = 0; i < std::min(head.width, head.headings.size()); ++i) read(i);
  }

  Result<ColumnPlan> run();

 private:
  void read(std::size_t index);
  std::optional<Error> take_choices();
  std::optional<Error> take_choice(const ColumnChoice& choice);
  void take_role(Role role);
  std::optional<Error> take_bare();
  std::optional<Error> take_bare_as_coolant(std::vector<std::size_t> bare);
  void take_date();
  void take_lone_t();
  void take(Role role, std::size_t index);
  std::vector<std::size_t> unused(Meaning meaning) const;
  std::vector<RoleCandidate> candidates(Role role);
  void note_choice(Role role, const std::vector<RoleCandidate>& ranked);
  void note_same_heading(Role role, const std::vector<RoleCandidate>& ranked);
  void note_near_misses();
  Error two_candidates(Role role, const std::vector<std::size_t>& columns) const;
  Error none_found(Role role) const;
  std::string nearest_heading(Role role) const;
  std::string quoted_heading(std::size_t index) const {
    return fmt::format("\"{}\"", head_.heading_of(index));
  }
  bool is_only_heading(std::size_t index) const;
  std::string column_option(Role role, std::size_t index) const;

  const TableHead& head_;
  const ImportOptions& options_;
  std::vector<std::optional<HeadingReading>> readings_;
  std::vector<bool> taken_;
  ColumnPlan plan_;
};

void Planner::read(std::size_t index) {
  if (index < head_.meanings.size() && head_.meanings[index]) {
    readings_[index] = head_.meanings[index];
    return;
  }
  const std::string_view below =
      index < head_.units.size() ? std::string_view(head_.units[index]) : std::string_view();
  auto reading = read_heading(head_.headings[index], vocabulary(), below);
  const bool of_cells =
      reading && reading->sense.meaning == Meaning::role && is_of_cells(reading->sense.role);
  if (!of_cells) {
    readings_[index] = reading;
  } else if (same_text(head_.headings[index], "data") && holds_dates(head_, index)) {
    // Italian and Portuguese for "date".
    reading->sense.meaning = Meaning::date;
    readings_[index] = reading;
  }
}

std::optional<Error> Planner::take_choices() {
  for (const ColumnChoice& choice : options_.columns) {
    if (auto error = take_choice(choice)) return error;
  }
  return std::nullopt;
}

std::optional<Error> Planner::take_choice(const ColumnChoice& choice) {
  const auto index = column_chosen(head_, choice);
  if (!index) return index.error();
  if (is_of_cells(choice.role)) {
    taken_[*index] = true;
    plan_.notes.push_back(fmt::format("{} is not used as {}: this table has a column for each "
                                      "signal",
                                      quoted_heading(*index), name_of(choice.role)));
    return std::nullopt;
  }
  const bool formed = choice.role == Role::time && read_time_form(choice.unit).has_value();
  if (formed) plan_.time_form = choice.unit;
  take(choice.role, *index);
  if (formed || choice.unit.empty()) return std::nullopt;
  const auto unit = unit_for(choice.role, choice.unit);
  if (!unit) {
    return usage_error(fmt::format("{} cannot be in '{}'", name_of(choice.role), choice.unit),
                       "leave the unit out, or name one of its units");
  }
  plan_.of(choice.role)->unit = unit;
  plan_.of(choice.role)->unit_origin = "given";
  return std::nullopt;
}

void Planner::take(Role role, std::size_t index) {
  ColumnUse use{index, {}, {}};
  const auto& reading = readings_[index];
  if (reading && reading->unit && reading->unit->quantity == quantity_of(role)) {
    use.unit = reading->unit;
    use.unit_origin = "heading";
  } else if (index < head_.units.size()) {
    use.unit = unit_for(role, head_.units[index]);
    use.unit_origin = use.unit ? "units row" : "";
  }
  taken_[index] = true;
  plan_.of(role) = std::move(use);
}

std::vector<std::size_t> Planner::unused(Meaning meaning) const {
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < readings_.size(); ++i) {
    if (!taken_[i] && readings_[i] && readings_[i]->sense.meaning == meaning) found.push_back(i);
  }
  return found;
}

/// Best first.
std::vector<RoleCandidate> Planner::candidates(Role role) {
  std::vector<RoleCandidate> found;
  for (const std::size_t i : unused(Meaning::role)) {
    const Sense& sense = readings_[i]->sense;
    if (sense.role != role) continue;
    if ((role == Role::trip || role == Role::vehicle) && is_no_identifier(head_, i)) {
      plan_.notes.push_back(fmt::format("{} has a new value in most rows: it is not taken for {}; "
                                        "if it is, say {}",
                                        quoted_heading(i), name_of(role), column_option(role, i)));
      continue;
    }
    found.push_back({i, sense.tier, sense.sensor, 0});
  }
  // A single one is taken, whatever it holds.
  if (found.size() < 2) return found;
  for (RoleCandidate& candidate : found)
    candidate.readable = readable_cells(head_, candidate.index, role);
  std::sort(found.begin(), found.end(), better);
  return found;
}

void Planner::take_role(Role role) {
  if (plan_.of(role)) return;
  const auto ranked = candidates(role);
  if (ranked.empty()) return;
  const std::size_t best = ranked[0].index;
  take(role, best);
  if (ranked.size() == 1 && ranked[0].tier >= k_stand_in_tier) {
    plan_.notes.push_back(fmt::format("{} is taken for {}, as no other column is",
                                      quoted_heading(best), name_of(role)));
  }
  note_same_heading(role, ranked);
  note_choice(role, ranked);
}

void Planner::note_choice(Role role, const std::vector<RoleCandidate>& ranked) {
  const std::size_t best = ranked[0].index;
  std::string others;
  const RoleCandidate* next = nullptr;
  for (const RoleCandidate& candidate : ranked) {
    if (same_text(head_.heading_of(candidate.index), head_.heading_of(best))) continue;
    if (next == nullptr) next = &candidate;
    others += (others.empty() ? "" : " or ") + quoted_heading(candidate.index);
  }
  if (next == nullptr) return;
  plan_.notes.push_back(fmt::format("{} is read from {}, not from {} ({}); for another say {}",
                                    name_of(role), quoted_heading(best), others,
                                    why_better(ranked[0], *next),
                                    column_option(role, next->index)));
}

/// Two columns with one heading cannot be told apart by the user either, except by number.
void Planner::note_same_heading(Role role, const std::vector<RoleCandidate>& ranked) {
  const std::size_t best = ranked[0].index;
  for (const RoleCandidate& candidate : ranked) {
    if (candidate.index == best ||
        !same_text(head_.heading_of(candidate.index), head_.heading_of(best)))
      continue;
    plan_.notes.push_back(fmt::format(
        "WARNING: columns {} and {} are both called {}: {} is read from column {} ({}); "
        "for the other say {}",
        std::min(best, candidate.index) + 1, std::max(best, candidate.index) + 1,
        quoted_heading(best), name_of(role), best + 1, why_better(ranked[0], candidate),
        column_option(role, candidate.index)));
  }
}

bool Planner::is_only_heading(std::size_t index) const {
  return std::count_if(head_.headings.begin(), head_.headings.end(), [&](const auto& heading) {
           return same_text(heading, head_.heading_of(index));
         }) == 1;
}

/// What to type to choose a column: its heading, or its number where that is not enough.
std::string Planner::column_option(Role role, std::size_t index) const {
  return is_only_heading(index)
             ? fmt::format("--column {}={}", name_of(role), quoted_heading(index))
             : fmt::format("--column {}={}", name_of(role), index + 1);
}

/// A bare "temperature" is coolant where nothing else is, and outside air where the coolant is
/// known and weather stands beside it; in any other place nobody can tell.
std::optional<Error> Planner::take_bare() {
  const auto bare = unused(Meaning::bare);
  if (bare.empty()) return std::nullopt;
  const bool weather = !unused(Meaning::weather).empty();
  if (!plan_.of(Role::coolant)) return weather ? std::nullopt : take_bare_as_coolant(bare);
  if (plan_.of(Role::ambient)) return std::nullopt;
  if (weather && bare.size() == 1) {
    take(Role::ambient, bare[0]);
    plan_.notes.push_back(fmt::format("{} is taken for ambient, as it stands among weather columns",
                                      quoted_heading(bare[0])));
    return std::nullopt;
  }
  plan_.notes.push_back(
      fmt::format("{} is not used, as it does not say what it is the temperature of; "
                  "if it is ambient, say {}",
                  quoted_heading(bare[0]), column_option(Role::ambient, bare[0])));
  return std::nullopt;
}

std::optional<Error> Planner::take_bare_as_coolant(std::vector<std::size_t> bare) {
  if (bare.size() > 1) {
    std::erase_if(bare,
                  [&](std::size_t i) { return readable_cells(head_, i, Role::coolant) == 0; });
  }
  if (bare.size() > 1) return two_candidates(Role::coolant, bare);
  // "Temp 2" alone is the second of two that nobody named.
  if (bare.empty() || readings_[bare[0]]->sense.sensor > 1) return std::nullopt;
  take(Role::coolant, bare[0]);
  plan_.notes.push_back(
      fmt::format("{} is taken for coolant, as no other column is", quoted_heading(bare[0])));
  return std::nullopt;
}

void Planner::take_date() {
  const auto dates = unused(Meaning::date);
  if (dates.empty()) return;
  if (!plan_.of(Role::time))
    take(Role::time, dates[0]);
  else if (dates.size() == 1)
    plan_.date = dates[0];
}

/// A small t is time where nothing else is and the coolant is known; a capital one is as often a
/// temperature.
void Planner::take_lone_t() {
  if (plan_.of(Role::time) || !plan_.of(Role::coolant)) return;
  const auto found = std::find(head_.headings.begin(), head_.headings.end(), "t");
  const auto index = static_cast<std::size_t>(found - head_.headings.begin());
  if (found == head_.headings.end() || taken_[index] || !is_only_heading(index)) return;
  take(Role::time, index);
  plan_.notes.push_back(R"("t" is taken for time, as no other column is)");
}

Error Planner::two_candidates(Role role, const std::vector<std::size_t>& columns) const {
  return input_error(head_.origin_of(columns[1]),
                     fmt::format("{} and {} could both be {}", quoted_heading(columns[0]),
                                 quoted_heading(columns[1]), name_of(role)),
                     head_.text,
                     fmt::format("choose one with {}", column_option(role, columns[0])));
}

/// Headings that miss a role still open by a slip of the pen.
void Planner::note_near_misses() {
  std::vector<bool> open(k_role_count);
  for (std::size_t i = 0; i < k_role_count; ++i) open[i] = !plan_.use[i];
  std::size_t compared = 0;
  for (std::size_t i = 0; i < head_.headings.size() && compared < k_headings_compared; ++i) {
    if (taken_[i] || readings_[i]) continue;
    ++compared;
    const auto role = role_nearly_named(head_.headings[i], vocabulary(), open);
    if (!role) continue;
    plan_.notes.push_back(fmt::format("{} is not understood and not used; if it is {}, say {}",
                                      quoted_heading(i), name_of(*role), column_option(*role, i)));
  }
}

/// The heading that was most likely meant for a role; empty when none is near.
std::string Planner::nearest_heading(Role role) const {
  std::vector<bool> wanted(k_role_count);
  wanted[static_cast<std::size_t>(role)] = true;
  const std::size_t count = std::min(head_.headings.size(), k_headings_compared);
  for (std::size_t i = 0; i < count; ++i) {
    if (!taken_[i] && role_nearly_named(head_.headings[i], vocabulary(), wanted))
      return head_.headings[i];
  }
  for (std::size_t i = 0; i < count; ++i) {
    if (!taken_[i] && !readings_[i] &&
        !nearest(head_.headings[i], vocabulary().phrases(role)).empty())
      return head_.headings[i];
  }
  const auto bare = unused(Meaning::bare);
  return role == Role::coolant && !bare.empty() ? head_.headings[bare[0]] : std::string();
}

Error Planner::none_found(Role role) const {
  std::string list;
  for (std::size_t i = 0; i < std::min(head_.headings.size(), k_headings_quoted); ++i) {
    list += (i > 0 ? ", " : "") + head_.headings[i];
  }
  if (head_.headings.size() > k_headings_quoted) {
    list += fmt::format(" and {} more", head_.headings.size() - k_headings_quoted);
  }
  const std::string near = nearest_heading(role);
  return input_error({head_.name, head_.line, 0},
                     fmt::format("no {} column among the headings: {}", name_of(role), list), {},
                     near.empty()
                         ? fmt::format("name it with --column {}=\"HEADING\"", name_of(role))
                         : fmt::format("name it with --column {}=\"HEADING\"; perhaps \"{}\"?",
                                       name_of(role), near));
}

Result<ColumnPlan> Planner::run() {
  if (auto error = take_choices()) return *error;
  if (head_.headings.empty() && (!plan_.of(Role::time) || !plan_.of(Role::coolant))) {
    return input_error(
        {head_.name, head_.record_line, 0}, "the log has no row of headings", head_.text,
        "say which columns are what by number, e.g. --column time=1 --column coolant=2");
  }
  for (std::size_t i = 0; i < k_role_count; ++i) {
    take_role(static_cast<Role>(i));
  }
  if (auto error = take_bare()) return *error;
  take_date();
  take_lone_t();
  for (const Role role : {Role::time, Role::coolant}) {
    if (!plan_.of(role)) return none_found(role);
  }
  note_near_misses();
  for (std::size_t i = 0; i < head_.headings.size(); ++i) {
    if (!taken_[i] && i != plan_.date) plan_.ignored.push_back(head_.headings[i]);
  }
  return std::move(plan_);
}

} // namespace

Result<ColumnPlan> plan_columns(const TableHead& head, const ImportOptions& options) {
  return Planner(head, options).run();
}

} // namespace coolband
