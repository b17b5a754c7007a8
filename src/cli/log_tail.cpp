// SPDX-License-Identifier: Apache-2.0
// Pipes by poll; files by looking at them several times a second, which works on any file system.
#include "cli/log_tail.hpp"

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <utility>

#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

namespace coolband::cli {

namespace {

constexpr std::size_t k_piece_bytes = std::size_t{64} * 1024;

std::atomic<bool> g_interrupted{false};

extern "C" void on_deferred_interrupt(int) { g_interrupted.store(true); }

Error cannot_read(const std::string& path, int why) {
  std::string remedy = why == EACCES ? "check the permissions of the file" : "";
  if (why == EISDIR) remedy = "name the log file in it";
  return {ErrorKind::input,
          {path},
          why == EISDIR ? "this is a directory, not a log"
                        : std::string("cannot be read: ") + std::strerror(why),
          "",
          std::move(remedy)};
}

Arrival arrival(Arrival::Kind kind, std::string remark = {}) {
  return {kind, {}, std::move(remark)};
}

} // namespace

void defer_interrupt() {
  struct sigaction action {};
  action.sa_handler = on_deferred_interrupt;
  action.sa_flags = static_cast<int>(SA_RESETHAND); // and reads end with EINTR
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
}

LogTail::LogTail(std::string path) : path_(std::move(path)), buffer_(k_piece_bytes) {
  if (path_ == "-") file_ = STDIN_FILENO;
}

LogTail::~LogTail() { close_file(); }

void LogTail::close_file() {
  if (file_ > STDIN_FILENO) ::close(file_);
  file_ = -1;
}

/// Until input is there, or the time is up. Whoever reads our lines may go meanwhile: then there is
/// nobody to watch for.
void LogTail::wait(int wait_ms, bool for_input) const {
  pollfd waited[2] = {{STDOUT_FILENO, 0, 0}, {file_, POLLIN, 0}};
  ::poll(waited, for_input ? 2 : 1, wait_ms);
  if ((waited[0].revents & POLLERR) != 0) static_cast<void>(std::raise(SIGPIPE)); // ends it
}

Result<Arrival> LogTail::next(int wait_ms) {
  if (g_interrupted.load() && nothing_left()) return arrival(Arrival::Kind::interrupted);
  if (file_ >= 0) return follows_ ? look_for_change(wait_ms) : read_some(wait_ms);
  auto opened = open_file();
  if (!opened || opened->kind != Arrival::Kind::nothing) return opened;
  if (file_ < 0) wait(wait_ms, false);
  if (opened->remark.empty() && file_ >= 0) return next(wait_ms);
  return opened;
}

/// Of a file all is read that stands in it when the interruption is seen first.
bool LogTail::nothing_left() {
  struct stat info {};
  if (!follows_ || file_ < 0 || ::fstat(file_, &info) != 0) return true;
  if (!size_at_end_) size_at_end_ = info.st_size;
  const off_t at = ::lseek(file_, 0, SEEK_CUR);
  return at >= *size_at_end_ || at >= info.st_size;
}

/// A named pipe is waited for until somebody writes to it.
Result<Arrival> LogTail::open_file() {
  file_ = ::open(path_.c_str(), O_RDONLY | O_CLOEXEC);
  if (file_ < 0 && errno == EINTR) return arrival(Arrival::Kind::interrupted);
  if (file_ < 0 && errno == ENOENT) {
    const bool first = !std::exchange(said_waiting_, true);
    return arrival(Arrival::Kind::nothing, first ? "waits for " + path_ : "");
  }
  if (file_ < 0) return cannot_read(path_, errno);
  struct stat info {};
  if (::fstat(file_, &info) != 0) return cannot_read(path_, errno);
  if (S_ISDIR(info.st_mode)) return cannot_read(path_, EISDIR);
  follows_ = S_ISREG(info.st_mode);
  drained_ = false;
  return arrival(Arrival::Kind::nothing);
}

/// From a pipe or a device.
Result<Arrival> LogTail::read_some(int wait_ms) {
  pollfd ready{file_, POLLIN, 0};
  if (::poll(&ready, 1, 0) == 0) {
    wait(wait_ms, true);
    if (::poll(&ready, 1, 0) == 0) return arrival(Arrival::Kind::nothing);
  }
  const ssize_t got = ::read(file_, buffer_.data(), buffer_.size());
  if (got < 0 && (errno == EINTR || errno == EAGAIN)) return arrival(Arrival::Kind::nothing);
  if (got < 0) return cannot_read(path_, errno);
  if (got == 0) return arrival(Arrival::Kind::ended);
  return Arrival{Arrival::Kind::bytes, {buffer_.data(), static_cast<std::size_t>(got)}, {}};
}

/// Reads on; at the end of the file, sees whether it is still the one of that name, and as long.
Result<Arrival> LogTail::look_for_change(int wait_ms) {
  const ssize_t got = ::read(file_, buffer_.data(), buffer_.size());
  if (got > 0) {
    drained_ = false;
    return Arrival{Arrival::Kind::bytes, {buffer_.data(), static_cast<std::size_t>(got)}, {}};
  }
  if (got < 0 && errno != EINTR) return cannot_read(path_, errno);
  struct stat opened {};
  struct stat named {};
  if (::fstat(file_, &opened) != 0) return cannot_read(path_, errno);
  const bool there = ::stat(path_.c_str(), &named) == 0;
  const bool other = there && (named.st_dev != opened.st_dev || named.st_ino != opened.st_ino);
  if (other) return follow_new_file();
  if (opened.st_size < ::lseek(file_, 0, SEEK_CUR)) {
    ::lseek(file_, 0, SEEK_SET);
    return arrival(Arrival::Kind::began_anew, "the file was emptied: read from its start");
  }
  wait(wait_ms, false);
  return arrival(Arrival::Kind::nothing);
}

/// Once more the old one: rows may have come between its end and the look at the name.
Result<Arrival> LogTail::follow_new_file() {
  if (!std::exchange(drained_, true)) return look_for_change(0);
  close_file();
  auto opened = open_file();
  if (!opened) return opened;
  return arrival(Arrival::Kind::began_anew, "the file was replaced: the new one is read");
}

} // namespace coolband::cli
