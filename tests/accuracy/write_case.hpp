// SPDX-License-Identifier: Apache-2.0
// One case of the bench as files, to be looked at with the program.
#pragma once

#include "circuit/scenario.hpp"
#include "coolband/core/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband::accuracy {

struct WrittenCase {
  const std::vector<Scenario>& learned;
  const std::vector<std::string>& learning_logs;
  const Scenario& scenario;
  const std::string& log;
};

/// Writes learn-00.csv ..., learn-00.json ..., test.csv and test.json into `directory`, which is
/// made if need be. Error (kind output) when that cannot be done.
std::optional<Error> write_case(const std::string& directory, const WrittenCase& written);

} // namespace coolband::accuracy
