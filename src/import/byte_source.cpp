// SPDX-License-Identifier: Apache-2.0
// Reading from a file descriptor, with the errors a person can act on.
#include "import/byte_source.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <system_error>

#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

namespace coolband {

namespace {

Error system_error(const std::string& name, int code) {
  Error error{ErrorKind::input, {name, 0, 0}, {}, {}, {}};
  switch (code) {
  case ENOENT:
    error.message = "no such file";
    error.remedy = "check the path";
    break;
  case ENOTDIR:
    error.message = "no such file: a part of the path is not a directory";
    error.remedy = "check the path";
    break;
  case EACCES:
  case EPERM:
    error.message = "not allowed to read it";
    error.remedy = "check the permissions of the file";
    break;
  case EISDIR:
    error.message = "this is a directory, not a log";
    error.remedy = "name the log files in it";
    break;
  default:
    error.message = "cannot be read: " + std::generic_category().message(code);
    error.remedy = "check the file and the disk that it is on";
    break;
  }
  return error;
}

class FileSource : public ByteSource {
 public:
  FileSource(int descriptor, std::string name, bool owned)
      : descriptor_(descriptor), name_(std::move(name)), owned_(owned) {}
  FileSource(const FileSource&) = delete;
  FileSource& operator=(const FileSource&) = delete;
  ~FileSource() override {
    if (owned_) ::close(descriptor_);
  }

  Result<std::size_t> read(char* into, std::size_t size) override {
    for (;;) {
      const ssize_t got = ::read(descriptor_, into, size);
      if (got >= 0) return static_cast<std::size_t>(got);
      if (errno == EAGAIN) {
        // A pipe that its other user made non-blocking: wait instead of spinning.
        pollfd waited{descriptor_, POLLIN, 0};
        ::poll(&waited, 1, -1);
      } else if (errno != EINTR) {
        return system_error(name_, errno);
      }
    }
  }

  [[nodiscard]] std::size_t size_hint() const override {
    struct stat status {};
    if (::fstat(descriptor_, &status) != 0 || !S_ISREG(status.st_mode)) return 0;
    return static_cast<std::size_t>(std::max<off_t>(status.st_size, 0));
  }

 private:
  int descriptor_;
  std::string name_;
  bool owned_;
};

} // namespace

Result<std::size_t> MemorySource::read(char* into, std::size_t size) {
  const std::size_t count = std::min(size, rest_.size());
  if (count > 0) std::memcpy(into, rest_.data(), count);
  rest_.remove_prefix(count);
  return count;
}

Result<std::unique_ptr<ByteSource>> open_source(const std::string& path) {
  if (path == "-") {
    return std::unique_ptr<ByteSource>(std::make_unique<FileSource>(STDIN_FILENO, path, false));
  }
  const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor < 0) return system_error(path, errno);
  std::unique_ptr<ByteSource> source = std::make_unique<FileSource>(descriptor, path, true);
  struct stat status {};
  if (::fstat(descriptor, &status) == 0 && S_ISDIR(status.st_mode)) {
    return system_error(path, EISDIR);
  }
  return source;
}

} // namespace coolband
