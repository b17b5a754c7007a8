// SPDX-License-Identifier: Apache-2.0
// Reading the named logs one by one, so that a bad one harms no other.
#include "cli/logs.hpp"

#include "cli/console.hpp"
#include "cli/exit_code.hpp"

#include <chrono>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

/// One line about rows that were set aside, so that nobody has to read the report to learn of it.
void remark_set_aside(const Recording& recording) {
  std::size_t count = 0;
  for (const SetAside& item : recording.how.set_aside) count += item.count;
  if (count == 0) return;
  const SetAside& first = recording.how.set_aside.front();
  remark(fmt::format("{}: {} of {} rows set aside; {} in row {}{}", recording.source, count,
                     recording.how.rows, first.reason, first.first_row,
                     first.first_line > 0 ? fmt::format(" (line {})", first.first_line) : ""));
}

/// What must not be overlooked, also where no report says how the log was read (`learn`).
void remark_warnings(const Recording& recording) {
  for (const std::string& note : recording.how.notes) {
    if (note.starts_with("WARNING: ")) remark(fmt::format("{}: {}", recording.source, note));
  }
}

void remark_cost(const Recording& recording, double seconds) {
  remark(fmt::format("{}: {} rows read in {:.3f} s, peak memory {:.1f} MiB", recording.source,
                     recording.how.rows, seconds, peak_memory_mib()));
}

/// Only what differs from the defaults.
void remark_settings(const CommonOptions& options) {
  std::string text = fmt::format("settings: format {}, output {}", options.format, options.output);
  if (!options.profile.empty()) text += ", profile " + options.profile;
  for (const std::string& column : options.columns) text += ", column " + column;
  if (options.ambient_c) text += fmt::format(", ambient {} °C", *options.ambient_c);
  if (options.altitude_m) text += fmt::format(", altitude {} m", *options.altitude_m);
  remark(text);
}

/// Used all the same: one vehicle may go by many names.
void note_other_vehicle(Recording& recording, const std::string& vehicle) {
  if (vehicle.empty()) return;
  for (const TextChange& change : recording.text_changes) {
    if (change.role != Role::vehicle || change.text.empty() || change.text == vehicle) continue;
    recording.how.notes.push_back(fmt::format(
        "WARNING: the log names the vehicle '{}', but is taken for one of '{}'; if that is another "
        "vehicle, give its own band or profile",
        change.text, vehicle));
    return;
  }
}

} // namespace

int for_each_log(const CommonOptions& options, const std::string& vehicle,
                 const std::function<void(Recording&)>& use) {
  const auto how = import_options(options);
  if (!how) {
    complain(how.error());
    return k_usage;
  }
  if (options.verbose) remark_settings(options);
  int code = k_done;
  for (const std::string& path : options.logs) {
    const auto start = std::chrono::steady_clock::now();
    auto recording = import_log(path, *how);
    if (!recording) {
      complain(recording.error());
      if (recording.error().kind == ErrorKind::usage) return k_usage;
      code = k_input;
      continue;
    }
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    if (options.verbose) remark_cost(*recording, taken.count());
    note_other_vehicle(*recording, vehicle);
    if (!options.quiet) {
      remark_warnings(*recording);
      remark_set_aside(*recording);
    }
    use(*recording);
  }
  return code;
}

} // namespace coolband::cli
