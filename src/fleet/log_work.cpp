// SPDX-License-Identifier: Apache-2.0
// The logs of one vehicle while it is being judged.
#include "fleet/log_work.hpp"

#include "fleet/log_reader.hpp"

#include <algorithm>
#include <new>

namespace coolband {

namespace {

/// File systems stamp by ticks; the coarsest in use (FAT) has 2 s (from memory).
constexpr std::int64_t k_stamp_step_ns = 2'000'000'000;

std::size_t bytes_of(const HeldLog& log) {
  const Recording& recording = log.recording;
  const auto columns =
      static_cast<std::size_t>(std::count_if(recording.values.begin(), recording.values.end(),
                                             [](const Column& column) { return !column.empty(); }));
  const std::size_t open = std::min(recording.size(), Column::k_chunk_rows);
  constexpr std::size_t k_block = 17 * sizeof(float);
  std::size_t blocks = 0;
  for (const Trip& trip : log.trips) blocks += trip.blocks.size();
  return blocks * k_block + open * (4 * columns + 8) +
         recording.size() * (columns + columns / 2 + 1);
}

bool is_fresh(const FleetSettings& settings, const FileStamp& stamp) {
  return stamp.changed_ns >= settings.began_ns - k_stamp_step_ns;
}

const LogRecord* earlier_of(const VehicleRecord* earlier, const std::string& path) {
  if (earlier == nullptr) return nullptr;
  const auto found =
      std::lower_bound(earlier->logs.begin(), earlier->logs.end(), path,
                       [](const LogRecord& log, const std::string& p) { return log.path < p; });
  return found != earlier->logs.end() && found->path == path ? &*found : nullptr;
}

/// Content that is still the same, as far as the stamp tells, or else the content itself.
bool is_same(const FleetSettings& settings, const LogRecord& old, const FileStamp& stamp) {
  const bool known = !old.hash.empty() || !old.problems.empty();
  if (!settings.rehash && known && !old.fresh && old.stamp == stamp) return true;
  if (old.hash.empty()) return false;
  const auto hash = hash_log(old.path);
  return hash && *hash == old.hash;
}

void refuse(LogWork& work, Problem problem) {
  work.refused = true;
  work.record.problems = {std::move(problem)};
}

void take_over(LogWork& work, const LogRecord& old) {
  work.record.hash = old.hash;
  work.record.rows_set_aside = old.rows_set_aside;
  work.record.trips = old.trips;
  work.record.problems = old.problems;
}

} // namespace

std::vector<LogWork> LogShelf::look_at(const std::vector<std::string>& paths,
                                       const VehicleRecord* earlier) const {
  std::vector<LogWork> logs;
  for (const std::string& path : paths) {
    LogWork& work = logs.emplace_back();
    work.record.path = path;
    const auto stamp = stamp_of(path);
    if (!stamp) {
      work.record.fresh = true;
      refuse(work, problem_of(stamp.error(), path));
      continue;
    }
    work.record.stamp = *stamp;
    work.record.fresh = is_fresh(settings_, *stamp);
    const LogRecord* old = earlier_of(earlier, path);
    if (old == nullptr || !is_same(settings_, *old, *stamp)) continue;
    work.same = old;
    work.old_index = static_cast<std::size_t>(old - earlier->logs.data());
    take_over(work, *old);
  }
  return logs;
}

std::optional<std::string> LogShelf::refusal(const Recording& recording) const {
  if (vehicle_ != nullptr) return std::nullopt;
  const std::string* first = nullptr;
  for (const TextChange& change : recording.text_changes) {
    if (change.role != Role::vehicle || change.text.empty()) continue;
    if (first != nullptr && change.text != *first)
      return "this log holds several vehicles ('" + *first + "', '" + change.text + "')";
    first = &change.text;
  }
  return std::nullopt;
}

void LogShelf::note_content(LogWork& work, const FileStamp& stamp, const std::string& hash,
                            bool changed_meanwhile) const {
  work.record.stamp = stamp;
  work.record.fresh = changed_meanwhile || is_fresh(settings_, stamp);
  work.record.hash = hash;
}

std::shared_ptr<HeldLog> LogShelf::open(LogWork& work) {
  if (work.held) return work.held;
  if (work.refused) return nullptr;
  LogRecord& record = work.record;
  auto log = read_log(record.path, settings_.import);
  if (!log) {
    refuse(work, problem_of(log.error(), record.path));
    return nullptr;
  }
  record.problems.clear();
  if (!record.hash.empty() && record.hash != log->hash) {
    record.hash.clear();
    record.fresh = true;
    refuse(work, {record.path, 0, 0, "it changed while the fleet was judged",
                  "the next run takes it as it is then"});
    return nullptr;
  }
  note_content(work, log->stamp, log->hash, log->changed_meanwhile);
  if (const auto why = refusal(log->recording)) {
    refuse(work, {record.path, 0, 0, *why, "assign logs with --vehicle-by column"});
    return nullptr;
  }
  record.rows_set_aside = 0;
  for (const SetAside& item : log->recording.how.set_aside) record.rows_set_aside += item.count;
  auto held = std::make_shared<HeldLog>(HeldLog{std::move(log->recording), {}});
  held->trips = find_trips(held->recording, condition(held->recording));
  if (const std::size_t bytes = bytes_of(*held); held_bytes_ + bytes <= k_held_bytes) {
    held_bytes_ += bytes;
    work.held = held;
  }
  return held;
}

void LogShelf::release(LogWork& work) {
  if (!work.held) return;
  held_bytes_ -= bytes_of(*work.held);
  work.held.reset();
}

} // namespace coolband
