// SPDX-License-Identifier: Apache-2.0
// Amounts in coolband's own units, with the user's own in brackets behind them.
#pragma once

#include "coolband/core/units.hpp"

#include <optional>
#include <string>

namespace coolband {

/// The unit besides coolband's own in which an amount is shown; none: own unit only.
struct Amounts {
  std::optional<Unit> temperature;
  std::optional<Unit> pressure;
  std::optional<Unit> length;
  std::optional<Unit> volume;

  /// "104.0 °C (219.2 °F)"
  [[nodiscard]] std::string celsius(double own) const;
  /// A difference: "10.0 K (18.0 °F)"
  [[nodiscard]] std::string kelvins(double own) const;
  /// "90 kPa (13.1 psi)"
  [[nodiscard]] std::string kilopascals(double own) const;
  /// "1524 m (5000 ft)"
  [[nodiscard]] std::string metres(double own) const;
  /// "2.86 L (3.02 US qt)"
  [[nodiscard]] std::string litres(double own) const;
};

/// "+0.3", "-0.3" and "0.0": a difference with its sign, never a minus zero.
std::string signed_tenths(double value);

/// Notes that the user gave an amount in this unit.
void show_also(Amounts& amounts, const Unit& unit);

/// Once every unit is noted: who gave one US unit is shown all amounts in US units.
void complete(Amounts& amounts);

} // namespace coolband
