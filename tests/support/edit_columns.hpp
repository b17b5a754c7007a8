// SPDX-License-Identifier: Apache-2.0
// Changes to single rows of a recording, for tests only: the program never rewrites a row.
#pragma once

#include "coolband/import/recording.hpp"

#include <cstddef>
#include <vector>

namespace coolband::testing {

inline void set_value(Column& column, std::size_t row, float value) {
  std::vector<float> values(column.begin(), column.end());
  values[row] = value;
  column = values;
}

inline void set_time(TimeColumn& column, std::size_t row, double time_s) {
  std::vector<double> times(column.begin(), column.end());
  times[row] = time_s;
  column = times;
}

template <class Store>
void append(Store& to, const Store& from) {
  for (const auto value : std::vector(from.begin(), from.end())) to.push_back(value);
}

} // namespace coolband::testing
