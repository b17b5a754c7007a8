// SPDX-License-Identifier: Apache-2.0
// Put before a program with LD_PRELOAD: calls of the system that are interrupted, that move fewer
// bytes than asked, or that fail after so many bytes, as disks, networks and signals make them. By
// environment:
//   FAULTY_SEED=N          every second read, pread and write is interrupted or moves some bytes
//   only FAULTY_READ_AFTER=N    reads of the file that FAULTY_PATH names fail (EIO) once N bytes of
//   it were read FAULTY_WRITE_AFTER=N   writes fail (ENOSPC) once N bytes were written in all
//   FAULTY_SYNC=1          fsync and syncfs fail (EIO)
// Without any of them every call is passed on.
#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstdint>
#include <cstdlib>
#include <string>

#include <dlfcn.h>
#include <unistd.h>

namespace {

constexpr std::uint64_t k_unlimited = UINT64_MAX;

std::uint64_t number_of(const char* name, std::uint64_t otherwise) {
  const char* text = std::getenv(name);
  return text == nullptr ? otherwise : std::strtoull(text, nullptr, 10);
}

struct Faults {
  std::uint64_t seed = number_of("FAULTY_SEED", 0);
  std::uint64_t read_after = number_of("FAULTY_READ_AFTER", k_unlimited);
  std::uint64_t write_after = number_of("FAULTY_WRITE_AFTER", k_unlimited);
  bool sync = number_of("FAULTY_SYNC", 0) != 0;
  std::string path = std::getenv("FAULTY_PATH") == nullptr ? "" : std::getenv("FAULTY_PATH");
  std::atomic<std::uint64_t> calls{0};
  std::atomic<std::uint64_t> bytes_read{0};
  std::atomic<std::uint64_t> written{0};
};

Faults& faults() {
  static Faults faults;
  return faults;
}

// Steele, Lea & Flood's SplitMix64: one draw for each number of a call.
std::uint64_t draw() {
  std::uint64_t z = faults().seed + 0x9e3779b97f4a7c15ULL * ++faults().calls;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

/// The size to ask for in truth; 0: the call is interrupted.
std::size_t disturbed(std::size_t size) {
  if (faults().seed == 0 || size == 0) return size;
  const std::uint64_t fate = draw();
  if (fate % 4 == 0) return 0;
  if (fate % 4 == 1) return std::min<std::size_t>(size, 1 + (fate >> 8) % 97);
  return size;
}

bool is_the_file(int file) {
  const std::string link = "/proc/self/fd/" + std::to_string(file);
  char name[4096];
  const ssize_t size = readlink(link.c_str(), name, sizeof name);
  return size > 0 && std::string(name, static_cast<std::size_t>(size)) == faults().path;
}

ssize_t fails(int why) {
  errno = why;
  return -1;
}

template <class Call>
ssize_t reads(int file, std::size_t size, Call call) {
  Faults& all = faults();
  if (all.read_after != k_unlimited && is_the_file(file)) {
    const std::uint64_t left =
        all.read_after - std::min<std::uint64_t>(all.read_after, all.bytes_read);
    if (left == 0) return fails(EIO);
    size = std::min<std::size_t>(size, left);
    all.bytes_read += size;
  }
  const std::size_t asked = disturbed(size);
  if (asked == 0 && size > 0) return fails(EINTR);
  return call(asked);
}

template <class Function>
Function* original(const char* name) {
  return reinterpret_cast<Function*>(dlsym(RTLD_NEXT, name));
}

} // namespace

extern "C" {

ssize_t read(int file, void* into, std::size_t size) {
  static auto* const real = original<ssize_t(int, void*, std::size_t)>("read");
  return reads(file, size, [&](std::size_t asked) { return real(file, into, asked); });
}

ssize_t pread(int file, void* into, std::size_t size, off_t offset) {
  static auto* const real = original<ssize_t(int, void*, std::size_t, off_t)>("pread");
  return reads(file, size, [&](std::size_t asked) { return real(file, into, asked, offset); });
}

ssize_t write(int file, const void* from, std::size_t size) {
  static auto* const real = original<ssize_t(int, const void*, std::size_t)>("write");
  // What is said of the failure has to come out.
  if (file == STDERR_FILENO) return real(file, from, size);
  Faults& all = faults();
  const std::uint64_t left =
      all.write_after - std::min<std::uint64_t>(all.write_after, all.written);
  if (left == 0 && size > 0) return fails(ENOSPC);
  const std::size_t most = std::min<std::uint64_t>(size, left);
  const std::size_t asked = disturbed(most);
  if (asked == 0 && most > 0) return fails(EINTR);
  const ssize_t done = real(file, from, asked);
  if (done > 0) all.written += static_cast<std::uint64_t>(done);
  return done;
}

int fsync(int file) {
  static auto* const real = original<int(int)>("fsync");
  return faults().sync ? static_cast<int>(fails(EIO)) : real(file);
}

int syncfs(int file) noexcept {
  static auto* const real = original<int(int)>("syncfs");
  return faults().sync ? static_cast<int>(fails(EIO)) : real(file);
}

} // extern "C"
