// SPDX-License-Identifier: Apache-2.0
// A small log of each kind is the same recording however its bytes come: from memory, a file or a
// pipe, with a border at every byte; a source that fails is an error wherever it fails.
#include "import/import_source.hpp"
#include "unit/import/byte_sources.hpp"

#include <csignal>
#include <cstdio>
#include <fstream>
#include <thread>

#include <fcntl.h>
#include <pthread.h>
#include <sys/stat.h>
#include <unistd.h>

using namespace coolband;
using namespace coolband::test;

namespace {

const std::string k_lines = "time_s,coolant_c,load\n0,90.5,5\n1,91.25,n/a\n2,x,7\n3,92,8\n";

std::string with_crlf(std::string text) {
  for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + 2))
    text.insert(at, 1, '\r');
  return text;
}

std::vector<std::string> small_logs() {
  const std::string records = "{\"time_s\":0,\"coolant_c\":90.5,\"n\":\"\\\"}]\"},\n"
                              "{\"time_s\":1,\"coolant_c\":null},\n{\"time_s\":2,\"coolant_c\":91}";
  std::string json_lines = records + "\n{\"time_s\":3,\n";
  for (std::size_t at = 0; (at = json_lines.find("},\n", at)) != std::string::npos;)
    json_lines.erase(at + 1, 1);
  return {
      k_lines,
      with_crlf(k_lines),
      "\xEF\xBB\xBF" + k_lines,
      "# made\ntime_s;\"K\xC3\xBChl\r\nmittel "
      "(C)\";trip\n0;\"90,5\";\"a\n\"\"b\"\"\"\n\n1;91,25;c\n",
      "time_s;K\xFChlmittel (C)\r0;90\r1;91\r",
      "[" + records + "]\n",
      json_lines,
      "{\"time_s\":[0,1,2],\"coolant_c\":[90.5,null,91],\"what\":\"\\u00e4\"}",
      utf16_of(k_lines, false, true),
      utf16_of(with_crlf(k_lines), true, false) + "\xD8",
      gzip_of(k_lines),
      gzip_of("[" + records + "]"),
      gzip_of(utf16_of(k_lines, true, true)),
      gzip_of("time_s,coolant_c\n0,90") + gzip_of("\n1,91\n") + std::string(20, '\0'),
  };
}

/// A file in the folder for temporary files that goes when the test ends.
class Scrap {
 public:
  Scrap() : path_("/tmp/coolband-" + std::to_string(::getpid())) { std::remove(path_.c_str()); }
  Scrap(const Scrap&) = delete;
  Scrap& operator=(const Scrap&) = delete;
  ~Scrap() { std::remove(path_.c_str()); }
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

std::string everything_at(const std::string& path) {
  const auto log = import_log(path);
  if (!log.ok()) FAIL(describe(log.error()));
  return everything(*log);
}

/// Writes `bytes` to the pipe at `path` in odd pieces, and before each piece disturbs `reader`.
void write_odd(const std::string& path, std::string_view bytes, pthread_t reader, bool disturb) {
  const int pipe = ::open(path.c_str(), O_WRONLY);
  for (std::size_t size = 1; !bytes.empty(); size = size % 7 + 1) {
    if (disturb) {
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
      ::pthread_kill(reader, SIGUSR1);
    }
    const std::string_view piece = bytes.substr(0, size);
    if (::write(pipe, piece.data(), piece.size()) != static_cast<ssize_t>(piece.size())) break;
    bytes.remove_prefix(piece.size());
  }
  ::close(pipe);
}

std::string everything_through_pipe(std::string_view bytes, bool disturb) {
  const Scrap scrap;
  REQUIRE(::mkfifo(scrap.path().c_str(), 0600) == 0);
  std::thread writer(write_odd, scrap.path(), bytes, ::pthread_self(), disturb);
  const auto log = import_log(scrap.path());
  writer.join();
  REQUIRE(log.ok());
  return everything(*log);
}

} // namespace

TEST_CASE("a border at any byte, and one byte at a time, give the same recording") {
  for (const std::string& bytes : small_logs()) {
    const std::string whole = everything(read(bytes));
    for (std::size_t border = 0; border <= bytes.size(); ++border) {
      SplitSource split(bytes, border);
      const auto log = import_source(split, "log", {});
      REQUIRE(log.ok());
      CHECK(everything(*log) == whole);
    }
    DripSource drip(bytes, 1);
    const auto log = import_source(drip, "log", {});
    REQUIRE(log.ok());
    CHECK(everything(*log) == whole);
  }
}

TEST_CASE("line ends and a byte order mark change nothing of what is read") {
  Recording marked = read("\xEF\xBB\xBF" + k_lines);
  marked.how.encoding = "ASCII";
  CHECK(everything(marked) == everything(read(k_lines)));
  CHECK(everything(read(with_crlf(k_lines))) == everything(read(k_lines)));
}

TEST_CASE("a source that fails at any byte is that error and never a short recording") {
  for (const std::string& bytes : small_logs()) {
    for (std::size_t border = 0; border <= bytes.size(); ++border) {
      SplitSource failing(bytes, border, true);
      const auto log = import_source(failing, "pipe", {});
      REQUIRE_FALSE(log.ok());
      CHECK(describe(log.error()) == "pipe: cannot be read: broken");
    }
  }
}

TEST_CASE("a file and a pipe read as memory does") {
  for (const std::string& bytes : small_logs()) {
    const std::string whole = everything(read(bytes));
    {
      const Scrap scrap;
      std::ofstream(scrap.path(), std::ios::binary) << bytes;
      CHECK(everything_at(scrap.path()) == whole);
    }
    CHECK(everything_through_pipe(bytes, false) == whole);
  }
}

TEST_CASE("signals that interrupt a read change nothing") {
  struct sigaction ours {};
  struct sigaction before {};
  ours.sa_handler = [](int) {};
  REQUIRE(::sigaction(SIGUSR1, &ours, &before) == 0); // without SA_RESTART, so that reads end early
  CHECK(everything_through_pipe(k_lines, true) == everything(read(k_lines)));
  ::sigaction(SIGUSR1, &before, nullptr);
}

TEST_CASE("a pipe without a writer's hurry is waited for, also when it is non-blocking") {
  int ends[2];
  REQUIRE(::pipe(ends) == 0);
  const int saved = ::dup(STDIN_FILENO);
  REQUIRE(::dup2(ends[0], STDIN_FILENO) >= 0);
  REQUIRE(::fcntl(STDIN_FILENO, F_SETFL, O_NONBLOCK) == 0);
  std::thread writer([&] {
    for (const char c : k_lines) {
      std::this_thread::sleep_for(std::chrono::microseconds(200));
      CHECK(::write(ends[1], &c, 1) == 1);
    }
    ::close(ends[1]);
  });
  const auto log = import_log("-");
  writer.join();
  ::dup2(saved, STDIN_FILENO);
  ::close(saved);
  ::close(ends[0]);
  REQUIRE(log.ok());
  CHECK(everything(*log) == everything(read(k_lines)));
}
