// SPDX-License-Identifier: Apache-2.0
// Numbers with a unit behind them, as a user types them: "14psi", "5000 ft", "220F", "9.5".
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/core/units.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace coolband::cli {

/// What an option takes.
struct MeasureRule {
  std::string_view option; ///< "--cap"
  Quantity quantity = Quantity::none;
  double low = 0.0; ///< in coolband's own unit
  double high = 0.0;
  std::string_view examples;    ///< "95kPa, 14psi or 0.95bar"
  std::string_view beyond = {}; ///< why the range ends where it does, where that is not plain
};

struct Measure {
  double own = 0.0;         ///< in coolband's own unit
  std::optional<Unit> unit; ///< as given; none for a bare number, which is in coolband's own
};

/// Errors (kind usage): no number, a number that is none or out of range, a unit that nobody knows
/// or that measures something else.
Result<Measure> parse_measure(const std::string& text, const MeasureRule& rule);

/// coolband's own unit of a quantity: "°C", "kPa", "m", "L", "%".
std::string_view own_unit(Quantity quantity);

} // namespace coolband::cli
