// SPDX-License-Identifier: Apache-2.0
// Going through folders for logs.
#include "fleet/folder_walk.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <memory>
#include <set>

#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace coolband {

namespace {

/// Deeper folders are no fleet's; circles end long before.
constexpr std::size_t k_deepest = 64;
constexpr std::array<std::string_view, 9> k_endings{".csv", ".tsv",  ".txt",   ".log",   ".asc",
                                                    ".dat", ".json", ".jsonl", ".ndjson"};

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return text;
}

FolderEntry entry_named(int folder, const std::string& name) {
  FolderEntry entry{name, EntryKind::gone, {}};
  struct stat status {};
  if (::fstatat(folder, name.c_str(), &status, 0) != 0) return entry;
  entry.kind = S_ISDIR(status.st_mode)   ? EntryKind::folder
               : S_ISREG(status.st_mode) ? EntryKind::file
                                         : EntryKind::other;
  entry.identity = {status.st_dev, status.st_ino};
  entry.link = entry.kind == EntryKind::folder &&
               ::fstatat(folder, name.c_str(), &status, AT_SYMLINK_NOFOLLOW) == 0 &&
               S_ISLNK(status.st_mode);
  return entry;
}

class Walk {
 public:
  Walk(bool any_name, FoundLogs& found) : any_name_(any_name), found_(found) {}

  /// No link leads back to the folder, or to what it lies in.
  void shut_behind(const std::string& folder) {
    const std::unique_ptr<char, decltype(&std::free)> real(::realpath(folder.c_str(), nullptr),
                                                           &std::free);
    if (!real) return;
    std::string path = real.get();
    for (;;) {
      struct stat status {};
      if (::stat(path.c_str(), &status) == 0) met_.insert({status.st_dev, status.st_ino});
      if (path == "/") return;
      path.resize(std::max<std::size_t>(path.find_last_of('/'), 1));
    }
  }

  void enter(const std::string& folder, std::size_t depth) {
    if (depth > k_deepest) return complain(folder, "folders lie too deep in each other here");
    const auto entries = entries_of(folder);
    if (!entries) {
      found_.problems.push_back(problem_of(entries.error(), folder));
      return;
    }
    for (const FolderEntry& entry : *entries) take(joined_path(folder, entry.name), entry, depth);
  }

 private:
  void take(const std::string& path, const FolderEntry& entry, std::size_t depth) {
    if (entry.kind == EntryKind::folder) {
      if (met_.insert(entry.identity).second) enter(path, depth + 1);
      return;
    }
    if (!any_name_ && !is_log_name(entry.name)) {
      ++found_.passed_over;
      return;
    }
    if (entry.kind == EntryKind::gone)
      return complain(path, "no such file: the link leads nowhere");
    if (entry.kind == EntryKind::other)
      return complain(path, "this is no regular file: a fleet reads nothing else, so that it never "
                            "waits");
    if (is_own_file(path) || !met_.insert(entry.identity).second) return;
    found_.logs.push_back(path);
  }

  void complain(const std::string& path, const std::string& what) {
    found_.problems.push_back({path, 0, 0, what, ""});
  }

  bool any_name_;
  FoundLogs& found_;
  std::set<std::pair<std::uint64_t, std::uint64_t>> met_;
};

} // namespace

Result<std::vector<FolderEntry>> entries_of(const std::string& folder) {
  const std::unique_ptr<DIR, int (*)(DIR*)> directory(::opendir(folder.c_str()), &::closedir);
  if (!directory) {
    return Error{ErrorKind::input,
                 {folder},
                 std::string("cannot look into this folder: ") + std::strerror(errno),
                 "",
                 "check the path and its permissions"};
  }
  std::vector<FolderEntry> entries;
  while (const dirent* item = ::readdir(directory.get())) {
    if (item->d_name[0] == '.') continue;
    entries.push_back(entry_named(::dirfd(directory.get()), item->d_name));
  }
  std::sort(entries.begin(), entries.end(),
            [](const auto& a, const auto& b) { return a.name < b.name; });
  return entries;
}

bool is_log_name(const std::string& name) {
  std::string_view text = name;
  const std::string small = lower(name);
  text = small;
  if (text.ends_with(".gz")) text.remove_suffix(3);
  return std::any_of(k_endings.begin(), k_endings.end(),
                     [&](std::string_view ending) { return text.ends_with(ending); });
}

bool is_own_file(const std::string& path) {
  if (!path.ends_with(".json")) return false;
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (file < 0) return false;
  std::array<char, 512> head{};
  std::size_t filled = 0;
  for (ssize_t got = 1; got != 0 && filled < head.size();) {
    got = ::read(file, head.data() + filled, head.size() - filled);
    if (got > 0) filled += static_cast<std::size_t>(got);
    if (got < 0 && errno != EINTR) break;
  }
  ::close(file);
  const std::string_view text(head.data(), filled);
  const std::size_t schema = text.find("\"schema\"");
  return schema != std::string_view::npos &&
         text.substr(schema).find("\"coolband.") != std::string_view::npos;
}

std::string folder_of(const std::string& path) {
  const std::size_t slash = path.find_last_of('/');
  return slash == std::string::npos ? "." : slash == 0 ? "/" : path.substr(0, slash);
}

std::string joined_path(const std::string& folder, const std::string& name) {
  return folder.ends_with('/') ? folder + name : folder + '/' + name;
}

void walk_folder(const std::string& folder, bool any_name, FoundLogs& found) {
  Walk walk(any_name, found);
  walk.shut_behind(folder);
  walk.enter(folder, 0);
}

} // namespace coolband
