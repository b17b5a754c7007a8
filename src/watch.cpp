// SPDX-License-Identifier: Apache-2.0
// Line by line: a glance at the last readings every few seconds of the log, a look at all of it
// every half minute, a judgement when one is due.
#include "watch.hpp"

#include "coolband/condition/condition.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "import/format_sniff.hpp"
#include "import/input_buffer.hpp"
#include "import/live_headings.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr double k_glance_every_s = 5.0;
/// Or a hundredth of a trip of hours, as it is not judged more often either.
constexpr double k_look_every_s = 30.0;
constexpr double k_look_share = 0.01;
/// The last minute, and one before it for the rate.
constexpr double k_recent_s = 150.0;
constexpr std::size_t k_least_recent_lines = 30;
/// Headings are looked for in the first 60 records: with more lines than this they will not come.
constexpr std::size_t k_most_head_lines = 200;
/// Under headings, before they are taken for another log's.
constexpr std::size_t k_lines_under_headings = 3;
/// A time that leaps may be a slip of one row: so many rows make a trip.
constexpr std::size_t k_least_trip_rows = 3;
/// Rows over which the pace of the log is taken.
constexpr std::size_t k_pace_rows = 600;

bool is_told_apart(const Trip& trip) {
  return trip.last_row - trip.first_row + 1 >= k_least_trip_rows;
}

std::vector<CoolantReading> believed(const Recording& recording) {
  const Conditioned conditioned = condition(recording);
  const Column& coolant = recording.column(Role::coolant);
  std::vector<CoolantReading> readings;
  for (std::size_t row = 0; row < recording.size(); ++row) {
    // Only the drive under way: behind the last step back of the clock.
    if (row > 0 && recording.time_s[row] < recording.time_s[row - 1]) readings.clear();
    if (conditioned.coolant[row] == Quality::good)
      readings.push_back({recording.time_s[row], static_cast<double>(coolant[row])});
  }
  return readings;
}

/// Among its last `rows` the clock steps back or leaps, not in the very last ones.
bool begins_a_trip(const Recording& recording, std::size_t rows) {
  const double gap_s = SegmentOptions().trip_gap_s;
  const std::size_t size = recording.size();
  const std::size_t first = size - std::min(size, rows + k_least_trip_rows);
  for (std::size_t row = std::max<std::size_t>(first, 1); row + k_least_trip_rows <= size; ++row) {
    const double step_s = recording.time_s[row] - recording.time_s[row - 1];
    if (step_s < 0.0 || step_s > gap_s) return true;
  }
  return false;
}

} // namespace

Watch::Watch(WatchSetup setup, WatchSink sink)
    : setup_(std::move(setup)), sink_(std::move(sink)), given_(setup_.band, setup_.profile) {}

std::optional<Error> Watch::take(std::string_view bytes) {
  text_.append(bytes);
  while (text_.take_line()) {
    told_torn_ = false;
    if (auto error = take_line()) return error;
  }
  if (text_.unfinished() <= k_record_limit) return std::nullopt;
  text_.tear_line();
  if (!reads_)
    return Error{ErrorKind::input,
                 {setup_.source},
                 "no line ends within the first 1 MiB",
                 "",
                 "only logs of lines can be watched: use 'coolband check' once it is whole"};
  if (!std::exchange(told_torn_, true))
    sink_.notice("more than 1 MiB without the end of a line: let go, with all up to the next line");
  return std::nullopt;
}

/// What no piece of can be read by itself.
std::optional<Error> Watch::refuse_unfit() const {
  const std::string_view start = text_.text().substr(0, 4);
  const auto refusal = [&](const char* what, const char* remedy) {
    return Error{ErrorKind::input, {setup_.source}, what, "", remedy};
  };
  if (start.starts_with("\x1F\x8B"))
    return refusal("gzip data cannot be watched",
                   "unpack it on the way: gzip -dc LOG | coolband watch -");
  const bool marked = start.starts_with("\xFF\xFE") || start.starts_with("\xFE\xFF");
  if (marked || start.find('\0') != std::string_view::npos)
    return refusal("text in UTF-16, or binary data, cannot be watched",
                   "convert it on the way: iconv -f UTF-16 -t UTF-8 LOG | coolband watch -");
  return other_than_text(text_.text(), setup_.source);
}

std::optional<Error> Watch::take_line() {
  if (!reads_) return try_to_read();
  lines_seen_s_ += 1.0 / lines_per_s_;
  const auto after = [this](double seconds) {
    return static_cast<std::size_t>(std::max(1.0, std::round(seconds * lines_per_s_)));
  };
  ++unlooked_;
  ++unglanced_;
  if (!headings_at_ && looks_like_headings(text_.last_line())) headings_at_ = text_.lines();
  if (unlooked_ >= after(look_every_s_)) look();
  if (reads_ && unglanced_ >= after(k_glance_every_s)) glance();
  return std::nullopt;
}

/// At the second line, the fourth, the eighth ...; a log that is understood with few rows may have
/// been misunderstood, so that is no harm.
std::optional<Error> Watch::try_to_read() {
  if (text_.lines() < next_try_ && text_.lines() < k_most_head_lines) return std::nullopt;
  if (auto error = refuse_unfit()) return error;
  next_try_ = 2 * text_.lines();
  const auto recording = import_text(text_.text(), setup_.source, setup_.import);
  if (!recording)
    return text_.lines() < k_most_head_lines ? std::nullopt : std::optional(recording.error());
  reads_ = true;
  look_at(*recording);
  return std::nullopt;
}

/// The log is read as it stands; false where that is refused.
bool Watch::look() {
  settle_headings(k_lines_under_headings);
  if (!reads_) return false;
  const auto recording = import_text(text_.text(), setup_.source, setup_.import);
  unlooked_ = 0;
  if (!recording) {
    cannot_read(recording.error());
    return false;
  }
  told_unread_ = false;
  look_at(*recording);
  return true;
}

/// More than half of what is kept is no log; it may become one again.
void Watch::cannot_read(const Error& error) {
  if (!std::exchange(told_unread_, true))
    sink_.notice(fmt::format("cannot be read just now: {}", error.message));
  if (text_.text().size() <= setup_.most_bytes) return;
  text_.drop_before(text_.lines() / 2);
  sink_.notice("the older half of what cannot be read is let go");
}

void Watch::look_at(const Recording& recording) {
  set_pace(recording);
  std::vector<Trip> trips = trips_of(recording, condition(recording), given_);
  if (text_.head_lines() == 0 && recording.row_map.at(0).line > 1)
    text_.set_head(recording.row_map.at(0).line - 1);
  if (trips.empty() || (trips.size() > 1 && !is_told_apart(trips.back()))) return;
  const std::size_t ended = end_trips(recording, trips, trips.size() - 1);
  look_every_s_ = std::max(k_look_every_s, k_look_share * trips.back().duration_s);
  judge_now(recording, trips.back());
  let_go(recording, trips, ended);
}

/// The import follows headings that come again, in any order; of others it keeps no row.
void Watch::settle_headings(std::size_t least_lines) {
  if (!headings_at_ || text_.lines() < *headings_at_ + least_lines) return;
  const std::size_t line = *headings_at_;
  const auto whole = import_text(text_.text(), setup_.source, setup_.import);
  if (whole && whole->row_map.at(whole->size() - 1).line > line) {
    headings_at_.reset();
    return;
  }
  if (const auto before = import_text(text_.before(line), setup_.source, setup_.import)) {
    const auto trips = trips_of(*before, condition(*before), given_);
    end_trips(*before, trips, trips.size());
    const RowMap::Place last = before->row_map.at(before->size() - 1);
    rows_before_ += last.row + (line - last.line);
  }
  sink_.notice(fmt::format("other headings in row {}: read as another log", rows_before_));
  begin_other_log(line);
}

void Watch::begin_other_log(std::size_t line) {
  text_.restart_at(line);
  headings_at_.reset();
  ended_in_text_ = 0;
  reads_ = false;
  begun_ = false;
  next_try_ = 2;
}

/// Tells the trips before number `ended` of the text that were not told yet.
std::size_t Watch::end_trips(const Recording& recording, const std::vector<Trip>& trips,
                             std::size_t ended) {
  for (std::size_t i = std::min(ended_in_text_, ended); i < ended; ++i) {
    const TripFinding finding = judge_trip(recording, trips[i], given_, setup_.profile);
    tell(recording, finding, WatchMoment::trip_end);
    trip_ = TripUnderWay();
    ++trip_number_;
    forgotten_ = 0;
  }
  ended_in_text_ = ended;
  return ended;
}

void Watch::judge_now(const Recording& recording, const Trip& trip) {
  if (!trip_.is_due(trip.duration_s)) return;
  const TripFinding finding = judge_trip(recording, trip, given_, setup_.profile);
  const bool first = !std::exchange(begun_, true);
  trip_.hear(finding.judgement, finding.band, trip.duration_s);
  if (first) tell(recording, finding, WatchMoment::begin);
  tell_news(recording, finding);
}

void Watch::tell_news(const Recording& recording, const TripFinding& finding) {
  if (const auto change = trip_.news()) {
    sink_.event({WatchMoment::change, recording, finding, setup_.profile, change->now,
                 change->before, trip_.alarm(), trip_number_, rows_before_, forgotten_});
  }
}

void Watch::tell(const Recording& recording, const TripFinding& finding, WatchMoment moment) {
  const Standing judged{finding.judgement.condition, finding.judgement.action};
  sink_.event({moment, recording, finding, setup_.profile, judged, trip_.said(), std::nullopt,
               trip_number_, rows_before_, forgotten_});
}

/// How many lines come in a second of the log, from its last rows.
void Watch::set_pace(const Recording& recording) {
  const std::size_t last = recording.size() - 1;
  const std::size_t first = last - std::min(last, k_pace_rows);
  last_line_ = recording.row_map.at(last).line;
  last_coolant_c_ = recording.column(Role::coolant)[last];
  // Holes and steps back do not count.
  std::vector<double> steps;
  for (std::size_t row = first + 1; row <= last; ++row) {
    const double step_s = recording.time_s[row] - recording.time_s[row - 1];
    if (step_s > 0.0) steps.push_back(step_s);
  }
  if (steps.empty()) return;
  const auto lines = static_cast<double>(last_line_ - recording.row_map.at(first).line);
  const double step_s = quantile(steps, 0.5) * static_cast<double>(steps.size());
  if (lines > 0.0) lines_per_s_ = std::clamp(lines / step_s, 1e-3, 1e5);
}

/// The last minutes by themselves. None where they read otherwise than in the whole: a unit or a
/// clock is then understood from rows that are not among them.
std::optional<Recording> Watch::recent() const {
  const auto wanted = static_cast<std::size_t>(std::ceil(k_recent_s * lines_per_s_));
  const std::size_t rows = std::max({wanted, k_least_recent_lines, unlooked_ + 2});
  const std::size_t all = text_.lines() - text_.head_lines();
  auto tail = import_text(rows < all ? text_.tail(rows) : std::string(text_.text()), setup_.source,
                          setup_.import);
  if (!tail) return std::nullopt;
  if (rows >= all) return std::move(*tail);
  const std::size_t gone = all - rows;
  for (std::size_t row = tail->size(); row-- > 0;) {
    if (tail->row_map.at(row).line + gone != last_line_) continue;
    const float reads = tail->column(Role::coolant)[row];
    const bool same =
        reads == last_coolant_c_ || (std::isnan(reads) && std::isnan(last_coolant_c_));
    return same ? std::optional(std::move(*tail)) : std::nullopt;
  }
  return std::nullopt;
}

void Watch::glance() {
  unglanced_ = 0;
  if (!trip_.scale()) return;
  auto recording = recent();
  if (!recording) {
    auto whole = import_text(text_.text(), setup_.source, setup_.import);
    if (!whole) return;
    recording = std::move(*whole);
  }
  if (unlooked_ > 0 && begins_a_trip(*recording, unlooked_)) {
    look();
    return;
  }
  const auto heat = heat_of(believed(*recording), *trip_.scale());
  if (!heat) return;
  if (trip_.calls_for_alarm(*heat)) return sound_alarm(*heat);
  if (!trip_.alarm()) return;
  trip_.let_cool(*heat, lines_seen_s_);
  if (!trip_.alarm()) look();
}

/// All of it is judged first: the sensor may be to blame.
void Watch::sound_alarm(const Heat& heat) {
  const auto recording = import_text(text_.text(), setup_.source, setup_.import);
  if (!recording) return cannot_read(recording.error());
  std::vector<Trip> trips = trips_of(*recording, condition(*recording), given_);
  if (trips.empty()) return;
  end_trips(*recording, trips, trips.size() - 1);
  const TripFinding finding =
      judge_trip(*recording, std::move(trips.back()), given_, setup_.profile);
  trip_.hear(finding.judgement, finding.band, finding.trip.duration_s);
  trip_.raise_alarm(heat);
  tell_news(*recording, finding);
}

/// The trip before the one under way stays: how long the engine rested is told by its rows.
void Watch::let_go(const Recording& recording, const std::vector<Trip>& trips, std::size_t ended) {
  if (headings_at_) return; // a line of this text
  if (ended > 1) {
    drop_before(recording.row_map.at(trips[ended - 1].first_row));
    ended_in_text_ = 1;
  } else if (text_.text().size() > setup_.most_bytes) {
    forget(recording, trips.back());
  }
}

/// The trip before goes first, then the older half of the one under way.
void Watch::forget(const Recording& recording, const Trip& trip) {
  std::size_t first = trip.first_row;
  if (ended_in_text_ == 0) {
    const std::size_t rows = trip.last_row - trip.first_row + 1;
    first += rows / 2;
    if (forgotten_ == 0)
      sink_.notice(
          "the trip is too long to be kept: from now on its older half is no longer judged");
    forgotten_ += rows / 2;
  }
  drop_before(recording.row_map.at(first));
  ended_in_text_ = 0;
}

/// A format without lines keeps all of it: its text is one record.
void Watch::drop_before(RowMap::Place place) {
  if (place.line == 0) return;
  text_.drop_before(place.line);
  rows_before_ += place.row - 1;
}

void Watch::pause() {
  if (reads_ && unglanced_ > 0) glance();
}

void Watch::begin_anew() {
  if (text_.tear_line()) sink_.notice("the last line was not whole: let go");
}

std::optional<Error> Watch::end() {
  text_.end_line();
  while (text_.take_line()) {
    if (auto error = take_line()) return error;
  }
  if (auto error = refuse_unfit()) return error;
  settle_headings(1);
  const auto recording = import_text(text_.text(), setup_.source, setup_.import);
  if (!recording) return recording.error();
  const std::vector<Trip> trips = trips_of(*recording, condition(*recording), given_);
  end_trips(*recording, trips, trips.size());
  return std::nullopt;
}

} // namespace coolband
