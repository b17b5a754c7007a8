// SPDX-License-Identifier: Apache-2.0
// Short writes and interruptions are no errors.
#include "core/write_all.hpp"

#include <cerrno>

#include <unistd.h>

namespace coolband {

int write_all(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(file, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return errno;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return 0;
}

} // namespace coolband
