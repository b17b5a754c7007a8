// SPDX-License-Identifier: Apache-2.0
// Headings propose a shape, the cells of the sample have to agree.
#include "import/table_shape.hpp"

#include "import/columns.hpp"
#include "import/heading.hpp"
#include "import/input_error.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include <fmt/core.h>

namespace coolband {

namespace {

using Place = std::optional<std::size_t>;

class ShapeFinder {
 public:
  ShapeFinder(const TableHead& head, const ImportOptions& options)
      : head_(head), options_(options) {
    for (const std::string& heading : head.headings)
      readings_.push_back(read_heading(heading, vocabulary()));
    readings_.resize(head.width);
  }

  Result<ShapePlan> run();

 private:
  Result<Place> place_of(Role role) const;
  std::optional<Error> fill(Role role, Place& place) const;
  std::optional<Error> take_time();
  bool chosen(Role role) const;
  bool has_coolant_column() const;
  bool has_known_signal() const;
  bool take_frames();
  bool try_frames(Place identifier, std::size_t frame);
  bool is_sparse() const;

  const TableHead& head_;
  const ImportOptions& options_;
  std::vector<std::optional<HeadingReading>> readings_;
  ShapePlan plan_;
};

bool ShapeFinder::chosen(Role role) const {
  return std::any_of(options_.columns.begin(), options_.columns.end(),
                     [&](const ColumnChoice& choice) { return choice.role == role; });
}

/// The user's column for a role, else the best one by its heading.
Result<Place> ShapeFinder::place_of(Role role) const {
  for (const ColumnChoice& choice : options_.columns) {
    if (choice.role != role) continue;
    const auto index = column_chosen(head_, choice);
    if (!index) return index.error();
    return Place(*index);
  }
  Place best;
  for (std::size_t i = 0; i < readings_.size(); ++i) {
    const auto& reading = readings_[i];
    if (!reading || reading->sense.meaning != Meaning::role || reading->sense.role != role)
      continue;
    if (!best || reading->sense.tier < readings_[*best]->sense.tier) best = i;
  }
  return best;
}

std::optional<Error> ShapeFinder::fill(Role role, Place& place) const {
  auto found = place_of(role);
  if (!found) return found.error();
  place = *found;
  return std::nullopt;
}

std::optional<Error> ShapeFinder::take_time() {
  Place time;
  if (auto error = fill(Role::time, time)) return error;
  for (std::size_t i = 0; i < readings_.size(); ++i) {
    if (readings_[i] && readings_[i]->sense.meaning == Meaning::date) plan_.date = i;
  }
  if (!time) std::swap(time, plan_.date);
  if (!time) {
    return input_error({head_.name, head_.line, 0},
                       fmt::format("this is {}, but no column is its time", words_for(plan_)),
                       head_.text, "name it with --column time=\"HEADING\"");
  }
  plan_.time = *time;
  return std::nullopt;
}

/// By its heading, or because the user says so.
bool ShapeFinder::has_coolant_column() const {
  const bool by_heading = std::any_of(readings_.begin(), readings_.end(), [](const auto& reading) {
    return reading && reading->sense.meaning == Meaning::role &&
           reading->sense.role == Role::coolant;
  });
  return by_heading ||
         std::any_of(options_.columns.begin(), options_.columns.end(),
                     [&](const ColumnChoice& choice) {
                       return choice.role == Role::coolant && column_chosen(head_, choice).ok();
                     });
}

/// At least one cell of the signal column is a name that means something.
bool ShapeFinder::has_known_signal() const {
  for (const auto& row : head_.sample) {
    if (*plan_.signal >= row.size()) continue;
    const std::string& name = row[*plan_.signal];
    const bool picked = std::any_of(
        options_.columns.begin(), options_.columns.end(),
        [&](const ColumnChoice& choice) { return same_text(choice.heading, as_utf8(name)); });
    const auto reading = read_heading(as_utf8(name), vocabulary());
    if (picked || (reading && reading->sense.meaning == Meaning::role)) return true;
  }
  return false;
}

bool ShapeFinder::try_frames(Place identifier, std::size_t frame) {
  std::vector<std::pair<std::string_view, std::string_view>> cells;
  for (const auto& row : head_.sample) {
    if (frame >= row.size() || (identifier && *identifier >= row.size())) continue;
    cells.emplace_back(identifier ? std::string_view(row[*identifier]) : std::string_view(),
                       row[frame]);
  }
  const auto standard = recognise_frames(cells);
  if (!standard) return false;
  plan_.shape = TableShape::frames;
  plan_.standard = *standard;
  plan_.identifier = identifier;
  plan_.frame = frame;
  return true;
}

/// By the headings first; a column of frames under any other heading is found by its cells.
bool ShapeFinder::take_frames() {
  if (plan_.frame) return try_frames(plan_.identifier, *plan_.frame);
  for (std::size_t i = 0; i < head_.width; ++i) {
    const bool other = readings_[i] && readings_[i]->sense.meaning == Meaning::role;
    if (!other && i != plan_.identifier && try_frames(plan_.identifier, i)) return true;
  }
  return false;
}

/// Most rows of the sample hold a single value beside the time, and not always the same one.
bool ShapeFinder::is_sparse() const {
  std::vector<std::size_t> filled(head_.width, 0);
  std::size_t single = 0;
  for (const auto& row : head_.sample) {
    std::size_t values = 0;
    for (std::size_t i = 0; i < std::min(row.size(), readings_.size()); ++i) {
      const auto& reading = readings_[i];
      if (!reading || reading->sense.meaning != Meaning::role ||
          reading->sense.role == Role::time || is_missing_mark(row[i]))
        continue;
      ++values;
      ++filled[i];
    }
    single += values == 1 ? 1U : 0U;
  }
  const auto used =
      std::count_if(filled.begin(), filled.end(), [](std::size_t n) { return n > 0; });
  return used >= 2 && single * 10 >= head_.sample.size() * 9;
}

Result<ShapePlan> ShapeFinder::run() {
  for (const auto& [role, place] :
       {std::pair{Role::signal, &plan_.signal}, std::pair{Role::value, &plan_.value},
        std::pair{Role::unit, &plan_.unit}, std::pair{Role::identifier, &plan_.identifier},
        std::pair{Role::frame, &plan_.frame}}) {
    if (auto error = fill(role, *place)) return *error;
  }
  const bool wide = !chosen(Role::signal) && !chosen(Role::frame) && has_coolant_column();
  if (wide) {
    plan_.shape = is_sparse() ? TableShape::sparse : TableShape::wide;
    return plan_;
  }
  if (plan_.signal && plan_.value && (chosen(Role::signal) || has_known_signal())) {
    plan_.shape = TableShape::long_table;
  } else if (chosen(Role::signal)) {
    return usage_error("a signal column is named, but no value column",
                       "name it with --column value=\"HEADING\"");
  } else if (!take_frames()) {
    if (!chosen(Role::frame)) return plan_;
    return input_error({head_.name, head_.line, 0},
                       "the frame column holds no frames of SAE J1979 or SAE J1939", head_.text,
                       "its cells have to be bytes in hexadecimal, such as 41 05 7B");
  }
  if (auto error = take_time()) return *error;
  return plan_;
}

} // namespace

std::string words_for(const ShapePlan& plan) {
  switch (plan.shape) {
  case TableShape::wide: return "wide";
  case TableShape::sparse: return "one signal a row";
  case TableShape::long_table: return "long";
  case TableShape::frames: break;
  }
  return plan.standard == FrameStandard::j1979 ? "SAE J1979 frames" : "SAE J1939 frames";
}

Result<ShapePlan> find_shape(const TableHead& head, const ImportOptions& options) {
  return ShapeFinder(head, options).run();
}

} // namespace coolband
