// SPDX-License-Identifier: Apache-2.0
// No buffer between a line and its reader.
#include "cli/line_output.hpp"

#include "cli/output.hpp"
#include "core/write_all.hpp"

#include <cerrno>

#include <fcntl.h>
#include <unistd.h>

namespace coolband::cli {

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
  if (const int why = write_all(file_, line)) return cannot_write(path_, why);
  return std::nullopt;
}

} // namespace coolband::cli
