// SPDX-License-Identifier: Apache-2.0
// Reading a log of a fleet.
#include "fleet/log_reader.hpp"

#include "fleet/content_hash.hpp"
#include "fleet/small_file.hpp"
#include "import/import_source.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <vector>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace coolband {

namespace {

Error unreadable(const std::string& path, int why) {
  Error error{
      ErrorKind::input, {path}, std::string("cannot be read: ") + std::strerror(why), "", ""};
  if (why == ENOENT) error.message = "no such file";
  if (why == EACCES || why == EPERM) {
    error.message = "not allowed to read it";
    error.remedy = "check the permissions of the file";
  }
  return error;
}

Error not_regular(const std::string& path) {
  return {ErrorKind::input,
          {path},
          "this is no regular file: a fleet reads nothing else, so that it never waits",
          "",
          "pipe it into 'coolband check', or write it to a file first"};
}

FileStamp stamp_from(const struct stat& status) {
  return {static_cast<std::uint64_t>(status.st_size),
          static_cast<std::int64_t>(status.st_mtim.tv_sec) * 1000000000 + status.st_mtim.tv_nsec,
          static_cast<std::uint64_t>(status.st_ino)};
}

struct OpenedLog {
  OwnedFile file;
  FileStamp stamp;
};

Result<OpenedLog> open_log(const std::string& path) {
  // Without O_NONBLOCK a pipe that took the file's place would be waited for.
  OwnedFile file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
  if (!file.open()) return unreadable(path, errno);
  struct stat status {};
  if (::fstat(file.get(), &status) != 0) return unreadable(path, errno);
  if (!S_ISREG(status.st_mode)) return not_regular(path);
  return OpenedLog{std::move(file), stamp_from(status)};
}

/// Reads a file up to a size, fingerprinting what passes.
class HashedSource : public ByteSource {
 public:
  HashedSource(int file, const std::string& path, std::size_t size)
      : file_(file), path_(path), left_(size), size_(size) {}

  Result<std::size_t> read(char* into, std::size_t size) override {
    size = std::min(size, left_);
    if (size == 0) return std::size_t{0};
    for (;;) {
      const ssize_t got = ::read(file_, into, size);
      if (got < 0 && errno == EINTR) continue;
      if (got < 0) return unreadable(path_, errno);
      const auto count = static_cast<std::size_t>(got);
      hash_.add({into, count});
      left_ -= count;
      return count;
    }
  }
  [[nodiscard]] std::size_t size_hint() const override { return size_; }

  /// Reads what is left; an importer need not read to the end.
  std::optional<Error> drain() {
    std::vector<char> block(left_ == 0 ? 0 : std::min<std::size_t>(left_, std::size_t{64} * 1024));
    while (left_ > 0) {
      const auto got = read(block.data(), block.size());
      if (!got) return got.error();
      if (*got == 0) break;
    }
    return std::nullopt;
  }
  [[nodiscard]] std::string hash() const { return hex_of(hash_.value()); }

 private:
  int file_;
  const std::string& path_;
  std::size_t left_;
  std::size_t size_;
  ContentHash hash_;
};

} // namespace

Result<LogRead> read_log(const std::string& path, const ImportOptions& options) {
  auto opened = open_log(path);
  if (!opened) return opened.error();
  HashedSource source(opened->file.get(), path, opened->stamp.size);
  auto recording = import_source(source, path, options);
  if (!recording) return recording.error();
  if (const auto error = source.drain()) return *error;
  struct stat status {};
  const bool same =
      ::fstat(opened->file.get(), &status) == 0 && stamp_from(status) == opened->stamp;
  return LogRead{std::move(*recording), opened->stamp, source.hash(), !same};
}

Result<std::string> hash_log(const std::string& path) {
  auto opened = open_log(path);
  if (!opened) return opened.error();
  HashedSource source(opened->file.get(), path, opened->stamp.size);
  if (const auto error = source.drain()) return *error;
  return source.hash();
}

Result<FileStamp> stamp_of(const std::string& path) {
  struct stat status {};
  if (::stat(path.c_str(), &status) != 0) return unreadable(path, errno);
  if (!S_ISREG(status.st_mode)) return not_regular(path);
  return stamp_from(status);
}

} // namespace coolband
