// SPDX-License-Identifier: Apache-2.0
// Going through folders for logs, in the order of names, never in circles.
#pragma once

#include "fleet/find_logs.hpp"

#include <string>
#include <utility>
#include <vector>

namespace coolband {

enum class EntryKind : std::uint8_t { folder, file, other, gone };
struct FolderEntry {
  std::string name;
  EntryKind kind = EntryKind::file;
  std::pair<std::uint64_t, std::uint64_t> identity; ///< device and inode
  bool link = false;                                ///< to a folder
};

/// What lies in a folder by name, hidden entries left out. Links are followed.
Result<std::vector<FolderEntry>> entries_of(const std::string& folder);

/// A log as its name goes: .csv, .tsv, .txt, .log, .asc, .dat, .json, .jsonl, .ndjson, also .gz.
bool is_log_name(const std::string& name);
/// A file of coolband's own (band, profile, report), told by its schema; only names of JSON are
/// looked into.
bool is_own_file(const std::string& path);

/// Where a file lies; "." where its path names no folder.
std::string folder_of(const std::string& path);

/// "FOLDER/NAME" with one slash.
std::string joined_path(const std::string& folder, const std::string& name);

/// Adds every log in the folder and below. A file or folder that was met before, by whatever name,
/// is not met again; nor is what the folder lies in.
void walk_folder(const std::string& folder, bool any_name, FoundLogs& found);

} // namespace coolband
