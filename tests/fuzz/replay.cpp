// SPDX-License-Identifier: Apache-2.0
// Runs every file of a corpus through the target of its folder. Usage: replay CORPUS
#include "fuzz/properties.hpp"

#include <algorithm>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <fmt/core.h>

namespace fs = std::filesystem;

namespace {

std::string bytes_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// Empty if every property of the target holds for the file.
std::string fault_of(const fs::path& path) {
  const std::string target = path.parent_path().filename().string();
  try {
    return coolband::testing::run_target(target, bytes_of(path)) ? "" : "no target " + target;
  } catch (const std::exception& error) {
    return error.what();
  }
}

} // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    fmt::print(stderr, "usage: replay CORPUS\n");
    return 2;
  }
  std::vector<fs::path> files;
  for (const auto& entry : fs::recursive_directory_iterator(argv[1])) {
    if (entry.is_regular_file()) files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  int failed = files.size() < 40 ? 1 : 0; // an empty corpus proves nothing
  for (const fs::path& path : files) {
    const std::string fault = fault_of(path);
    if (fault.empty()) continue;
    fmt::print("{}: {}\n", path.string(), fault);
    failed = 1;
  }
  fmt::print("{} files\n", files.size());
  return failed;
}
