// SPDX-License-Identifier: Apache-2.0
// Every number is written in full, so that the program drives the same drive.
#include "accuracy/write_case.hpp"

#include "support/scenario_text.hpp"

#include <fmt/core.h>

#include <filesystem>
#include <fstream>
#include <system_error>

namespace coolband::accuracy {

using testing::scenario_text;

namespace {

bool write_file(const std::string& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  return !file.fail();
}

} // namespace

std::optional<Error> write_case(const std::string& directory, const WrittenCase& written) {
  std::error_code failed;
  std::filesystem::create_directories(directory, failed);
  bool good = !failed;
  for (std::size_t i = 0; i < written.learned.size(); ++i) {
    const std::string stem = fmt::format("{}/learn-{:02}", directory, i);
    good = good && write_file(stem + ".csv", written.learning_logs[i]);
    good = good && write_file(stem + ".json", scenario_text(written.learned[i]));
  }
  good = good && write_file(directory + "/test.csv", written.log);
  good = good && write_file(directory + "/test.json", scenario_text(written.scenario));
  if (good) return std::nullopt;
  return Error{ErrorKind::output,
               {directory},
               "cannot write the case there",
               "",
               "give a directory that can be written"};
}

} // namespace coolband::accuracy
