// SPDX-License-Identifier: Apache-2.0
// What the importer made of each log's coolant, as JSON lines, for comparison with another reader.
// Usage: column_facts [--column ROLE=HEADING[:UNIT]]... LOG...
#include "coolband/import/import_log.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
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

int print_facts(const char* path, const coolband::ImportOptions& options) {
  const auto recording = coolband::import_log(path, options);
  if (!recording) {
    fmt::print(stderr, "{}\n", coolband::describe(recording.error()));
    return 3;
  }
  const auto coolant = known(recording->column(coolband::Role::coolant));
  double sum = 0.0;
  for (const double value : coolant) sum += value;
  std::string first;
  for (std::size_t i = 0; i < std::min<std::size_t>(coolant.size(), 20); ++i)
    first += fmt::format("{}{:.6g}", i > 0 ? ", " : "", coolant[i]);
  fmt::print("{{\"rows\": {}, \"kept\": {}, \"coolant\": {}, \"sum\": {}, \"median\": {}, "
             "\"last_s\": {}, \"first\": [{}]}}\n",
             recording->how.rows, recording->size(), coolant.size(), sum,
             coolant.empty() ? std::nan("") : coolband::median(coolant), recording->time_s.back(),
             first);
  return 0;
}

} // namespace

int main(int argc, char** argv) {
  int code = 0;
  coolband::ImportOptions options;
  for (int i = 1; i < argc; ++i) {
    if (std::string_view(argv[i]) == "--column" && i + 1 < argc) {
      const auto choice = coolband::parse_column_choice(argv[++i]);
      if (!choice) return 2;
      options.columns.push_back(*choice);
      continue;
    }
    if (const int failed = print_facts(argv[i], options); failed != 0) code = failed;
  }
  return code;
}
