// SPDX-License-Identifier: Apache-2.0
// Results to standard output or, whole or not at all, to a file.
#include "cli/output.hpp"

#include "cli/exit_code.hpp"
#include "core/shell_words.hpp"
#include "core/write_all.hpp"

#include <array>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <memory>
#include <string_view>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace coolband::cli {

namespace {

/// Name of the half-written file for the signal handler, which may not touch a std::string.
std::array<char, 4096> g_half_written{};
std::atomic<bool> g_has_half_written{false};

extern "C" void on_interrupt(int) {
  if (g_has_half_written.load()) unlink(g_half_written.data());
  _exit(k_interrupted);
}

Error exists(const std::string& path) {
  return {ErrorKind::output,
          {path},
          "this file exists already",
          "",
          "replace it with --overwrite, or give another name"};
}

Error is_input(const std::string& path) {
  return {ErrorKind::usage,
          {path},
          "this file is an input of the same run",
          "",
          "give another name for the output"};
}

bool same_file(const std::string& a, const std::string& b) {
  struct stat info_a {};
  struct stat info_b {};
  return stat(a.c_str(), &info_a) == 0 && stat(b.c_str(), &info_b) == 0 &&
         S_ISREG(info_a.st_mode) && info_a.st_dev == info_b.st_dev &&
         info_a.st_ino == info_b.st_ino;
}

bool is_special(const std::string& path) {
  struct stat info {};
  return stat(path.c_str(), &info) == 0 && !S_ISREG(info.st_mode);
}

/// What became of the writing.
struct Filled {
  int why = 0;       ///< errno of the first piece that could not be written
  bool whole = true; ///< the producer did not give up
};

Filled fill(int file, const FallibleProducer& produce) {
  Filled filled;
  filled.whole = produce([&](std::string_view piece) {
    if (filled.why == 0) filled.why = write_all(file, piece);
    return filled.why == 0;
  });
  return filled;
}

std::optional<Error> write_special(const std::string& path, const FallibleProducer& produce) {
  const int file = open(path.c_str(), O_WRONLY | O_CLOEXEC);
  if (file < 0) return cannot_write(path, errno);
  const int why = fill(file, produce).why;
  const bool closed = close(file) == 0;
  if (why != 0 || !closed) return cannot_write(path, why != 0 ? why : errno);
  return std::nullopt;
}

/// Who may read and write: those who could read and write the file that is replaced; a new file is
/// as the user's mask has it.
bool set_mode(int file, const std::string& path) {
  struct stat before {};
  if (stat(path.c_str(), &before) != 0 || !S_ISREG(before.st_mode)) {
    const mode_t mask = umask(0);
    umask(mask);
    return fchmod(file, 0666 & ~mask) == 0;
  }
  mode_t mode = before.st_mode & 0777U;
  // Its owner, too, where we may: else root's run would lock a user out of the user's own file.
  if (fchown(file, before.st_uid, before.st_gid) != 0 &&
      fchown(file, static_cast<uid_t>(-1), before.st_gid) != 0)
    mode &= ~static_cast<mode_t>(S_IRWXG); // they were another group's
  return fchmod(file, mode) == 0;
}

/// Fills and syncs the temporary file, then gives it its name.
std::optional<Error> publish(int file, const std::string& temporary, const std::string& path,
                             const FallibleProducer& produce, bool overwrite) {
  const Filled filled = fill(file, produce);
  int why = filled.why;
  if (why == 0 && !filled.whole) {
    close(file);
    unlink(temporary.c_str());
    return std::nullopt;
  }
  if (why == 0 && (!set_mode(file, path) || fsync(file) != 0)) why = errno;
  if (close(file) != 0 || why != 0) return cannot_write(path, why != 0 ? why : errno);
  if (overwrite) {
    if (rename(temporary.c_str(), path.c_str()) != 0) return cannot_write(path, errno);
    return std::nullopt;
  }
  // A link never replaces a file that appeared in the meantime.
  if (link(temporary.c_str(), path.c_str()) != 0)
    return errno == EEXIST ? exists(path) : cannot_write(path, errno);
  unlink(temporary.c_str());
  return std::nullopt;
}

std::optional<Error> write_file(const std::string& name, const FallibleProducer& produce,
                                bool overwrite) {
  const std::string path = real_target(name);
  if (auto error = write_protected(path)) return error;
  // In the same folder, so that the rename stays on one file system; short, whatever the name.
  std::string temporary = path.substr(0, path.find_last_of('/') + 1) + ".coolband.XXXXXX";
  const int file = mkstemp(temporary.data());
  if (file < 0) return cannot_write(path, errno);
  if (temporary.size() < g_half_written.size()) {
    std::memcpy(g_half_written.data(), temporary.c_str(), temporary.size() + 1);
    g_has_half_written = true;
  }
  auto error = publish(file, temporary, path, produce, overwrite);
  if (error) unlink(temporary.c_str());
  g_has_half_written = false;
  return error;
}

} // namespace

Error cannot_write(const std::string& path, int why) {
  return {ErrorKind::output,
          {path == "-" ? "standard output" : path},
          std::string("cannot write: ") + std::strerror(why),
          "",
          "check the path, its permissions and the free space"};
}

std::string real_target(const std::string& path) {
  const std::unique_ptr<char, decltype(&std::free)> real(realpath(path.c_str(), nullptr),
                                                         &std::free);
  return real ? std::string(real.get()) : path;
}

std::optional<Error> write_protected(const std::string& path) {
  struct stat info {};
  if (stat(path.c_str(), &info) != 0 || !S_ISREG(info.st_mode)) return std::nullopt;
  // Root may write to any file: who took all leave to write away meant it all the same.
  const bool nobody = (info.st_mode & (S_IWUSR | S_IWGRP | S_IWOTH)) == 0;
  if (!nobody && faccessat(AT_FDCWD, path.c_str(), W_OK, AT_EACCESS) == 0) return std::nullopt;
  return Error{ErrorKind::output,
               {path},
               "this file may not be written to",
               "",
               "allow it: chmod u+w " + shell_quoted(path) + "; or name another file"};
}

std::optional<Error> check_target(const std::string& path, bool overwrite,
                                  const std::vector<std::string>& inputs) {
  struct stat info {};
  if (path == "-") return std::nullopt;
  if (path.empty()) {
    return Error{
        ErrorKind::usage, {}, "the output has an empty name", "", "give a file name, or '-'"};
  }
  for (const std::string& input : inputs) {
    if (path == input || same_file(path, input)) return is_input(path);
  }
  if (stat(path.c_str(), &info) != 0) return std::nullopt;
  if (overwrite) return write_protected(path);
  if (S_ISDIR(info.st_mode)) return cannot_write(path, EISDIR);
  if (S_ISREG(info.st_mode)) return exists(path);
  return std::nullopt;
}

std::optional<Error> write_output_if(const std::string& path, const FallibleProducer& produce,
                                     bool overwrite) {
  if (path == "-") {
    const int why = fill(STDOUT_FILENO, produce).why;
    return why == 0 ? std::nullopt : std::optional<Error>(cannot_write(path, why));
  }
  if (is_special(path)) return write_special(path, produce);
  return write_file(path, produce, overwrite);
}

std::optional<Error> write_output(const std::string& path, const Producer& produce,
                                  bool overwrite) {
  return write_output_if(
      path,
      [&](const Sink& sink) {
        produce(sink);
        return true;
      },
      overwrite);
}

std::optional<Error> write_output(const std::string& path, const std::string& text,
                                  bool overwrite) {
  return write_output(
      path, [&](const Sink& sink) { sink(text); }, overwrite);
}

void watch_for_interrupt() {
  struct sigaction action {};
  action.sa_handler = on_interrupt;
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
  struct sigaction before {};
  sigaction(SIGHUP, nullptr, &before);
  if (before.sa_handler != SIG_IGN) sigaction(SIGHUP, &action, nullptr); // as nohup has it
  // A file beyond the limit on files is then an error of writing, like a full disk.
  struct sigaction ignore {};
  ignore.sa_handler = SIG_IGN;
  sigaction(SIGXFSZ, &ignore, nullptr);
}

void hold_standard_streams() {
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    if (fcntl(stream, F_GETFD) >= 0 || errno != EBADF) continue;
    // The wrong way round, so that reading or writing fails. The lowest free number is taken.
    if (open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY) != stream) return;
  }
}

} // namespace coolband::cli
