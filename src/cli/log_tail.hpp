// SPDX-License-Identifier: Apache-2.0
// Bytes of a log as they come: from a pipe until it ends, from a file as long as it grows.
#pragma once

#include "coolband/core/result.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <sys/types.h>

namespace coolband::cli {

/// What the wait for more has brought.
struct Arrival {
  enum class Kind {
    bytes,
    nothing,     ///< the time is up
    began_anew,  ///< the file was replaced or emptied: what follows is its new content
    ended,       ///< the pipe
    interrupted, ///< Ctrl-C or a request to end
  };
  Kind kind = Kind::nothing;
  std::string_view bytes; ///< until the next call
  std::string remark;     ///< for a person; may be empty
};

/// Follows by name, as `tail -F` does. A file that is not there yet is waited for. One that was
/// renamed is read to its end, then the new one of that name from its start. One that became
/// shorter is read from its start again; a copy that is cut and has grown past where the reading
/// stood within a fifth of a second cannot be told from one that went on.
class LogTail {
 public:
  /// "-" is standard input.
  explicit LogTail(std::string path);
  LogTail(const LogTail&) = delete;
  LogTail& operator=(const LogTail&) = delete;
  ~LogTail();

  /// Waits up to `wait_ms`. Error (kind input): it cannot be read.
  Result<Arrival> next(int wait_ms);

 private:
  Result<Arrival> open_file();
  Result<Arrival> read_some(int wait_ms);
  Result<Arrival> look_for_change(int wait_ms);
  Result<Arrival> follow_new_file();
  bool nothing_left();
  void wait(int wait_ms, bool for_input) const;
  void close_file();

  std::string path_;
  int file_ = -1;
  bool follows_ = false; ///< a regular file
  bool said_waiting_ = false;
  bool drained_ = false;             ///< the renamed file was read to its end
  std::optional<off_t> size_at_end_; ///< of the file, when it was interrupted
  std::vector<char> buffer_;
};

/// From now on Ctrl-C and SIGTERM are told by `LogTail::next`; a second one ends at once.
void defer_interrupt();

} // namespace coolband::cli
