// SPDX-License-Identifier: Apache-2.0
// No buffer between a line and its reader.
#include "cli/line_output.hpp"

#include <cerrno>
#include <cstring>

#include <fcntl.h>
#include <unistd.h>

namespace coolband::cli {

namespace {

Error cannot_write(const std::string& path, int why) {
  return {ErrorKind::output,
          {path == "-" ? "standard output" : path},
          std::string("cannot write: ") + std::strerror(why),
          "",
          "check the path, its permissions and the free space"};
}

} // namespace

LineOutput::~LineOutput() {
  if (file_ > STDERR_FILENO) ::close(file_);
}

std::optional<Error> LineOutput::open(const std::string& path, bool overwrite) {
  path_ = path;
  file_ = STDOUT_FILENO;
  if (path == "-") return std::nullopt;
  const int how = O_WRONLY | O_CREAT | O_CLOEXEC | O_APPEND;
  file_ = ::open(path.c_str(), how | (overwrite ? O_TRUNC : 0), 0666);
  if (file_ < 0) return cannot_write(path, errno);
  return std::nullopt;
}

std::optional<Error> LineOutput::write(std::string_view line) const {
  while (!line.empty()) {
    const ssize_t written = ::write(file_, line.data(), line.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return cannot_write(path_, errno);
    line.remove_prefix(static_cast<std::size_t>(written));
  }
  return std::nullopt;
}

} // namespace coolband::cli
