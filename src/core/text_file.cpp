// SPDX-License-Identifier: Apache-2.0
// A small text file as a string.
#include "core/text_file.hpp"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>

namespace coolband {

namespace {

constexpr std::size_t k_largest = std::size_t{64} << 20U;

Error unreadable(const std::string& path, const std::string& why) {
  return {ErrorKind::usage,
          {path},
          "cannot read this file: " + why,
          "",
          "check the path and its permissions"};
}

} // namespace

Result<std::string> read_text_file(const std::string& path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"),
                                                             &std::fclose);
  if (!file) return unreadable(path, std::strerror(errno));
  std::string text;
  char block[16384];
  std::size_t got = 0;
  while ((got = std::fread(block, 1, sizeof block, file.get())) > 0) {
    text.append(block, got);
    if (text.size() > k_largest) return unreadable(path, "it is larger than 64 MiB");
  }
  if (std::ferror(file.get()) != 0) return unreadable(path, std::strerror(errno));
  return text;
}

} // namespace coolband
