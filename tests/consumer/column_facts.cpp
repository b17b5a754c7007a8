// SPDX-License-Identifier: Apache-2.0
// What the importer made of each log's coolant, as JSON lines, for comparison with another reader.
#include "coolband/import/import_log.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <cmath>
#include <cstddef>
#include <vector>

#include <fmt/core.h>

namespace {

std::vector<double> known(const coolband::Column& column) {
  std::vector<double> values;
  for (const float value : column) {
    if (!std::isnan(value)) values.push_back(static_cast<double>(value));
  }
  return values;
}

int print_facts(const char* path) {
  const auto recording = coolband::import_log(path);
  if (!recording) {
    fmt::print(stderr, "{}\n", coolband::describe(recording.error()));
    return 3;
  }
  const auto coolant = known(recording->column(coolband::Role::coolant));
  double sum = 0.0;
  for (const double value : coolant) sum += value;
  fmt::print("{{\"rows\": {}, \"kept\": {}, \"coolant\": {}, \"sum\": {}, \"median\": {}, "
             "\"last_s\": {}}}\n",
             recording->how.rows, recording->size(), coolant.size(), sum,
             coolant.empty() ? std::nan("") : coolband::median(coolant), recording->time_s.back());
  return 0;
}

} // namespace

int main(int argc, char** argv) {
  int code = 0;
  for (int i = 1; i < argc; ++i) {
    if (const int failed = print_facts(argv[i]); failed != 0) code = failed;
  }
  return code;
}
