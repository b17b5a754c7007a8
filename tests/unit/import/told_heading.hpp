// SPDX-License-Identifier: Apache-2.0
// A heading's meaning as a short text, to be compared with the expected one.
#pragma once

#include "import/heading.hpp"

#include <doctest/doctest.h>

#include <string>
#include <string_view>

namespace coolband::test {

/// "role unit", "bare", "date", "weather", or "" when the heading means nothing.
inline std::string told(std::string_view heading, std::string_view unit_below = {}) {
  const auto reading = read_heading(heading, vocabulary(), unit_below);
  if (!reading) return "";
  const std::string unit = reading->unit ? " " + std::string(reading->unit->name) : "";
  switch (reading->sense.meaning) {
  case Meaning::date: return "date" + unit;
  case Meaning::bare: return "bare" + unit;
  case Meaning::weather: return "weather" + unit;
  case Meaning::other: return "other" + unit;
  case Meaning::role: break;
  }
  return std::string(name_of(reading->sense.role)) + unit;
}

} // namespace coolband::test
