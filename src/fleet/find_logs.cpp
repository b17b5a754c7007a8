// SPDX-License-Identifier: Apache-2.0
// From folders, patterns and lists to vehicles with their logs.
#include "fleet/find_logs.hpp"

#include "fleet/folder_walk.hpp"
#include "fleet/log_reader.hpp"

#include <algorithm>
#include <filesystem>
#include <regex>
#include <set>
#include <tuple>

#include <glob.h>
#include <sys/stat.h>

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_folder(const std::string& path) {
  struct stat status {};
  return ::stat(path.c_str(), &status) == 0 && S_ISDIR(status.st_mode);
}

bool is_there(const std::string& path) {
  struct stat status {};
  return ::lstat(path.c_str(), &status) == 0;
}

/// The name of a folder, also of "." and "..".
std::string folder_name(const std::string& folder) {
  std::error_code error;
  std::filesystem::path path = std::filesystem::absolute(folder, error).lexically_normal();
  if (!path.has_filename()) path = path.parent_path();
  return path.filename().string();
}

std::string without_slashes(std::string path) {
  while (path.size() > 1 && path.back() == '/') path.pop_back();
  return path;
}

/// What a pattern matches; the pattern itself where it matches nothing.
std::vector<std::string> expanded(const std::string& path) {
  if (is_there(path) || path.find_first_of("*?[") == std::string::npos) return {path};
  std::vector<std::string> paths;
  glob_t matches{};
  if (::glob(path.c_str(), GLOB_MARK, nullptr, &matches) == 0) {
    for (std::size_t i = 0; i < matches.gl_pathc; ++i) paths.emplace_back(matches.gl_pathv[i]);
  }
  ::globfree(&matches);
  return paths;
}

/// Links to a folder that is a vehicle by its own name, to one that another link leads to, or to
/// the root: the same drives must not count as those of two vehicles.
std::set<std::string> second_names_in(const std::string& root,
                                      const std::vector<FolderEntry>& entries) {
  std::set<std::string> names;
  if (std::none_of(entries.begin(), entries.end(), [](const auto& e) { return e.link; }))
    return names;
  std::set<std::pair<std::uint64_t, std::uint64_t>> met;
  struct stat status {};
  if (::stat(root.c_str(), &status) == 0) met.insert({status.st_dev, status.st_ino});
  for (const FolderEntry& entry : entries)
    if (entry.kind == EntryKind::folder && !entry.link) met.insert(entry.identity);
  for (const FolderEntry& entry : entries)
    if (entry.link && !met.insert(entry.identity).second) names.insert(entry.name);
  return names;
}

class Planner {
 public:
  Planner(const FleetInputs& inputs, std::optional<std::regex> pattern)
      : inputs_(inputs), pattern_(std::move(pattern)) {
    plan_.by_column = inputs.by == VehicleBy::column;
    plan_.any_name = inputs.any_name;
  }

  FleetPlan plan() {
    for (const std::string& named : inputs_.paths) {
      const auto paths = expanded(named);
      if (paths.empty()) complain(named, "nothing matches this pattern");
      for (const std::string& path : paths) add(path);
    }
    sort_places();
    remark_namesakes();
    std::stable_sort(plan_.problems.begin(), plan_.problems.end(), problem_before);
    return std::move(plan_);
  }

 private:
  void complain(const std::string& path, const std::string& what) {
    plan_.problems.push_back({path, 0, 0, what, ""});
  }

  void add(const std::string& path) {
    if (!is_there(path)) return complain(path, "no such file or folder: check the path");
    if (!is_folder(path)) return add_file(path);
    if (inputs_.by == VehicleBy::folder) return add_root(without_slashes(path));
    FoundLogs found;
    walk_folder(without_slashes(path), inputs_.any_name, found);
    plan_.passed_over += found.passed_over;
    std::move(found.problems.begin(), found.problems.end(), std::back_inserter(plan_.problems));
    for (const std::string& log : found.logs) add_file(log);
  }

  /// A folder of vehicles: each folder in it is one. Logs right in it are those of a vehicle of its
  /// own name.
  void add_root(const std::string& root) {
    const auto number = static_cast<std::uint32_t>(plan_.roots.size());
    plan_.roots.push_back(root);
    const auto entries = entries_of(root);
    if (!entries) {
      plan_.problems.push_back(problem_of(entries.error(), root));
      return;
    }
    const auto second_names = second_names_in(root, *entries);
    for (const FolderEntry& entry : *entries) {
      const std::string path = joined_path(root, entry.name);
      const bool folder = entry.kind == EntryKind::folder;
      const bool other_file = !folder && !inputs_.any_name && !is_log_name(entry.name);
      if (other_file || second_names.count(entry.name) > 0)
        ++plan_.passed_over;
      else if (folder)
        plan_.places.push_back({entry.name, "", number, true});
      else if (!is_own_file(path))
        plan_.places.push_back({folder_name(root), path, number, false});
    }
  }

  void add_file(const std::string& path) {
    switch (inputs_.by) {
    case VehicleBy::folder: return add_place(folder_name(folder_of(path)), path);
    case VehicleBy::pattern: return add_by_pattern(path);
    case VehicleBy::column: return add_by_column(path);
    }
  }

  void add_place(const std::string& vehicle, const std::string& path) {
    plan_.places.push_back({vehicle, path, 0, false});
  }

  void add_by_pattern(const std::string& path) {
    std::smatch match;
    if (std::regex_search(path, match, *pattern_) && match[1].length() > 0)
      add_place(match[1].str(), path);
    else
      complain(path, "the pattern of --vehicle-pattern finds no vehicle in this path");
  }

  void add_by_column(const std::string& path) {
    const auto log = read_log(path, inputs_.import);
    if (!log) {
      plan_.problems.push_back(problem_of(log.error(), path));
      return;
    }
    std::set<std::string> vehicles;
    for (const TextChange& change : log->recording.text_changes) {
      if (change.role == Role::vehicle && !change.text.empty()) vehicles.insert(change.text);
    }
    if (vehicles.empty()) complain(path, "no column of this log names a vehicle");
    for (const std::string& vehicle : vehicles) add_place(vehicle, path);
  }

  void sort_places() {
    std::stable_sort(plan_.places.begin(), plan_.places.end(),
                     [](const Place& a, const Place& b) { return a.vehicle < b.vehicle; });
    for (std::size_t i = 0; i < plan_.places.size(); ++i) {
      if (i == 0 || plan_.places[i].vehicle != plan_.places[i - 1].vehicle)
        plan_.vehicles.push_back(static_cast<std::uint32_t>(i));
    }
  }

  /// Logs that were named one by one belong to the vehicle that their folder is called; folders of
  /// one name may be several vehicles'.
  void remark_namesakes() {
    if (inputs_.by != VehicleBy::folder) return;
    for (std::size_t v = 0; v < plan_.vehicles.size(); ++v) {
      std::set<std::string> folders;
      for (const Place& place : plan_.places_of(v))
        if (!place.folder) folders.insert(folder_of(place.path));
      if (folders.size() < 2) continue;
      plan_.remarks.push_back(fmt::format(
          "WARNING: the logs of {} folders called '{}' count as one vehicle's, e.g. of {} and {}; "
          "if they are several, name the folder that holds the vehicles, or use --vehicle-pattern",
          folders.size(), plan_.id_of(v), *folders.begin(), *std::next(folders.begin())));
    }
  }

  const FleetInputs& inputs_;
  std::optional<std::regex> pattern_;
  FleetPlan plan_;
};

/// One file may be named in several ways, e.g. by a folder and by a link to it.
void drop_second_names(std::vector<std::string>& logs) {
  std::set<std::pair<dev_t, ino_t>> met;
  const auto second = [&](const std::string& log) {
    struct stat status {};
    return ::stat(log.c_str(), &status) == 0 && !met.insert({status.st_dev, status.st_ino}).second;
  };
  logs.erase(std::remove_if(logs.begin(), logs.end(), second), logs.end());
}

Result<std::optional<std::regex>> pattern_of(const FleetInputs& inputs) {
  if (inputs.by != VehicleBy::pattern) return std::optional<std::regex>();
  const auto wrong = [&](const std::string& why) {
    return Error{ErrorKind::usage,
                 {},
                 fmt::format("--vehicle-pattern '{}' {}", inputs.pattern, why),
                 "",
                 "give a regular expression with one group, e.g. 'logs/([^/]+)_[0-9]+\\.csv'"};
  };
  try {
    std::regex pattern(inputs.pattern, std::regex::ECMAScript | std::regex::optimize);
    if (pattern.mark_count() != 1) return wrong("does not have exactly one group");
    return std::optional(std::move(pattern));
  } catch (const std::regex_error&) { // the library has no other way to say so
    return wrong("is no regular expression");
  }
}

} // namespace

std::span<const Place> FleetPlan::places_of(std::size_t vehicle) const {
  const std::size_t first = vehicles[vehicle];
  const std::size_t end = vehicle + 1 < vehicles.size() ? vehicles[vehicle + 1] : places.size();
  return std::span(places).subspan(first, end - first);
}

std::string FleetPlan::path_of(const Place& place) const {
  return place.path.empty() ? joined_path(roots[place.root], place.vehicle) : place.path;
}

bool problem_before(const Problem& a, const Problem& b) {
  return std::tie(a.path, a.line, a.column, a.message, a.remedy) <
         std::tie(b.path, b.line, b.column, b.message, b.remedy);
}

Result<FleetPlan> plan_fleet(const FleetInputs& inputs) {
  auto pattern = pattern_of(inputs);
  if (!pattern) return pattern.error();
  return Planner(inputs, std::move(*pattern)).plan();
}

std::vector<std::string> paths_in(std::string_view list) {
  const char end = list.find('\0') == std::string_view::npos ? '\n' : '\0';
  std::vector<std::string> paths;
  while (!list.empty()) {
    const std::size_t length = std::min(list.find(end), list.size());
    std::string_view path = list.substr(0, length);
    list.remove_prefix(std::min(length + 1, list.size()));
    if (end == '\n' && path.ends_with('\r')) path.remove_suffix(1);
    if (!path.empty()) paths.emplace_back(path);
  }
  return paths;
}

FoundLogs logs_of(const FleetPlan& plan, std::size_t vehicle) {
  FoundLogs found;
  for (const Place& place : plan.places_of(vehicle)) {
    if (place.folder)
      walk_folder(plan.path_of(place), plan.any_name, found);
    else
      found.logs.push_back(place.path);
  }
  std::sort(found.logs.begin(), found.logs.end());
  found.logs.erase(std::unique(found.logs.begin(), found.logs.end()), found.logs.end());
  if (plan.places_of(vehicle).size() > 1) drop_second_names(found.logs);
  return found;
}

} // namespace coolband
