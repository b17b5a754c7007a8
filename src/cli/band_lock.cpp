// SPDX-License-Identifier: Apache-2.0
// A band file is changed by one process at a time.
#include "cli/band_lock.hpp"

#include "cli/output.hpp"
#include "core/text_file.hpp"

#include <cerrno>
#include <filesystem>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace coolband::cli {

namespace {

/// Who held the lock has removed its file; that many may do so while we wait for our turn.
constexpr int k_lock_turns = 1000;

std::string folder_of(const std::string& path) {
  const std::size_t stroke = path.find_last_of('/');
  return stroke == std::string::npos ? "." : path.substr(0, stroke);
}

/// errno is ENOENT where the lock went while we looked at it.
OwnedFile opened(const std::string& path) {
  OwnedFile file(::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666));
  if (file.open() || errno != EACCES) return file;
  // One that another user made may not be written to, but waited for.
  return OwnedFile(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW));
}

bool wait_for_lock(int file) {
  int result = 0;
  do result = ::flock(file, LOCK_EX);
  while (result != 0 && errno == EINTR);
  return result == 0;
}

/// The file that is locked is still the one that others would lock.
bool still_there(int file, const std::string& path) {
  struct stat locked {};
  struct stat named {};
  return ::fstat(file, &locked) == 0 && ::lstat(path.c_str(), &named) == 0 &&
         locked.st_dev == named.st_dev && locked.st_ino == named.st_ino;
}

} // namespace

Result<BandLock> BandLock::take(const std::string& band) {
  const std::string target = real_target(band);
  const std::string path = folder_of(target) + "/.coolband.lock";
  struct stat folder {};
  if (::stat(folder_of(path).c_str(), &folder) != 0) return cannot_write(band, errno);
  for (int turn = 0; turn < k_lock_turns; ++turn) {
    OwnedFile file = opened(path);
    if (!file.open() && errno == ENOENT) continue;
    if (!file.open() || !wait_for_lock(file.get())) return cannot_write(band, errno);
    if (still_there(file.get(), path)) return BandLock(path, std::move(file));
  }
  // The folder is there, and so is no lock: none may be made.
  return cannot_write(band, EACCES);
}

BandLock::~BandLock() {
  // Before the lock goes, so that nobody else's is removed.
  if (file_.open()) ::unlink(path_.c_str());
}

std::optional<std::string> text_in(const std::string& path) {
  std::error_code none;
  if (!std::filesystem::is_regular_file(path, none)) return std::nullopt;
  auto text = read_text_file(path);
  return text ? std::optional(std::move(*text)) : std::nullopt;
}

} // namespace coolband::cli
