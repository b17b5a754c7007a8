// SPDX-License-Identifier: Apache-2.0
// Candidates by vocabulary, one winner a role, and a clear refusal where there is none.
#include "import/columns.hpp"

#include "core/suggest.hpp"
#include "import/heading.hpp"
#include "import/input_error.hpp"
#include "import/time_form.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_headings_quoted = 24;

class Planner {
 public:
  Planner(const TableHead& head, const ImportOptions& options)
      : head_(head), options_(options), taken_(head.width, false) {
    for (const std::string& heading : head.headings) {
      readings_.push_back(read_heading(heading, vocabulary()));
    }
    readings_.resize(head.width);
  }

  Result<ColumnPlan> run();

 private:
  std::optional<Error> take_choices();
  std::optional<Error> take_choice(const ColumnChoice& choice);
  std::optional<Error> take_role(Role role);
  std::optional<Error> take_bare();
  void take_date();
  void take(Role role, std::size_t index);
  std::vector<std::size_t> unused(Meaning meaning) const;
  std::vector<std::size_t> best_of(Role role) const;
  Error two_candidates(Role role, const std::vector<std::size_t>& columns) const;
  Error none_found(Role role) const;
  std::string quoted_heading(std::size_t index) const {
    return fmt::format("\"{}\"", head_.heading_of(index));
  }

  const TableHead& head_;
  const ImportOptions& options_;
  std::vector<std::optional<HeadingReading>> readings_;
  std::vector<bool> taken_;
  ColumnPlan plan_;
};

std::optional<Error> Planner::take_choices() {
  for (const ColumnChoice& choice : options_.columns) {
    if (auto error = take_choice(choice)) return error;
  }
  return std::nullopt;
}

std::optional<Error> Planner::take_choice(const ColumnChoice& choice) {
  const auto index = column_chosen(head_, choice);
  if (!index) return index.error();
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

std::vector<std::size_t> Planner::best_of(Role role) const {
  std::vector<std::size_t> best;
  int tier = 0;
  for (const std::size_t i : unused(Meaning::role)) {
    const Sense& sense = readings_[i]->sense;
    if (sense.role != role || (!best.empty() && sense.tier > tier)) continue;
    if (!best.empty() && sense.tier < tier) best.clear();
    tier = sense.tier;
    best.push_back(i);
  }
  return best;
}

std::optional<Error> Planner::take_role(Role role) {
  if (plan_.of(role)) return std::nullopt;
  const auto best = best_of(role);
  if (best.size() == 1) take(role, best[0]);
  if (best.size() < 2) return std::nullopt;
  if (role == Role::time || role == Role::coolant) return two_candidates(role, best);
  plan_.notes.push_back(
      fmt::format("{} and {} could both be {}: neither is used; choose with --column {}={}",
                  quoted_heading(best[0]), quoted_heading(best[1]), name_of(role), name_of(role),
                  quoted_heading(best[0])));
  return std::nullopt;
}

/// A bare "temperature" is coolant where nothing else is, and outside air where the coolant is
/// known and weather stands beside it; in any other place nobody can tell.
std::optional<Error> Planner::take_bare() {
  const auto bare = unused(Meaning::bare);
  if (bare.empty()) return std::nullopt;
  const bool weather = !unused(Meaning::weather).empty();
  if (!plan_.of(Role::coolant)) {
    if (weather) return std::nullopt;
    if (bare.size() > 1) return two_candidates(Role::coolant, bare);
    take(Role::coolant, bare[0]);
    plan_.notes.push_back(
        fmt::format("{} is taken for coolant, as no other column is", quoted_heading(bare[0])));
    return std::nullopt;
  }
  if (plan_.of(Role::ambient)) return std::nullopt;
  if (weather && bare.size() == 1) {
    take(Role::ambient, bare[0]);
    plan_.notes.push_back(fmt::format("{} is taken for ambient, as it stands among weather columns",
                                      quoted_heading(bare[0])));
    return std::nullopt;
  }
  plan_.notes.push_back(
      fmt::format("{} is not used, as it does not say what it is the temperature of; "
                  "if it is ambient, say --column ambient={}",
                  quoted_heading(bare[0]), quoted_heading(bare[0])));
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

Error Planner::two_candidates(Role role, const std::vector<std::size_t>& columns) const {
  return input_error(head_.origin_of(columns[1]),
                     fmt::format("{} and {} could both be {}", quoted_heading(columns[0]),
                                 quoted_heading(columns[1]), name_of(role)),
                     head_.text,
                     head_.heading_of(columns[0]) == head_.heading_of(columns[1])
                         ? fmt::format("choose one by its number with --column {}={}",
                                       name_of(role), columns[0] + 1)
                         : fmt::format("choose one with --column {}={}", name_of(role),
                                       quoted_heading(columns[0])));
}

Error Planner::none_found(Role role) const {
  std::string list;
  for (std::size_t i = 0; i < std::min(head_.headings.size(), k_headings_quoted); ++i) {
    list += (i > 0 ? ", " : "") + head_.headings[i];
  }
  if (head_.headings.size() > k_headings_quoted) {
    list += fmt::format(" and {} more", head_.headings.size() - k_headings_quoted);
  }
  std::string near;
  for (std::size_t i = 0; i < head_.headings.size() && near.empty(); ++i) {
    if (!taken_[i] && !nearest(head_.headings[i], vocabulary().phrases(role)).empty()) {
      near = head_.headings[i];
    }
  }
  const auto bare = unused(Meaning::bare);
  if (near.empty() && role == Role::coolant && !bare.empty()) near = head_.headings[bare[0]];
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
        {head_.name, 1, 0}, "the log has no row of headings", head_.text,
        "say which columns are what by number, e.g. --column time=1 --column coolant=2");
  }
  for (std::size_t i = 0; i < k_role_count; ++i) {
    if (auto error = take_role(static_cast<Role>(i))) return *error;
  }
  if (auto error = take_bare()) return *error;
  take_date();
  for (const Role role : {Role::time, Role::coolant}) {
    if (!plan_.of(role)) return none_found(role);
  }
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
