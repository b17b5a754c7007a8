// SPDX-License-Identifier: Apache-2.0
// What a user of the library writes: reads a log, judges it, prints the verdict of every trip.
#include <coolband/analyse.hpp>
#include <coolband/import/import_log.hpp>
#include <coolband/report/report.hpp>
#include <coolband/version.hpp>

#include <iostream>

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: consumer LOG\n";
    return 2;
  }
  const auto recording = coolband::import_log(argv[1]);
  if (!recording) {
    std::cerr << coolband::describe(recording.error()) << '\n';
    return 3;
  }
  std::cout << "coolband " << coolband::version() << '\n';
  for (const auto& finding : coolband::analyse(*recording, std::nullopt, std::nullopt)) {
    std::cout << coolband::name_of(finding.judgement.condition) << ": "
              << finding.judgement.headline << '\n';
  }
  return std::cout.flush() ? 0 : 4;
}
