// SPDX-License-Identifier: Apache-2.0
// Units as logs name them, and the straight line that turns each into coolband's own unit:
// °C, %, rpm, km/h, m, s, kPa, L.
#pragma once

#include <optional>
#include <string_view>

namespace coolband {

enum class Quantity { time, temperature, ratio, rotation, speed, length, pressure, volume, none };

/// own unit = value * scale + offset
struct Unit {
  Quantity quantity = Quantity::none;
  std::string_view name; ///< as coolband prints it, e.g. "°F", "mph", "ms"
  double scale = 1.0;
  double offset = 0.0;

  [[nodiscard]] double to_own(double value) const { return value * scale + offset; }
};

/// The unit meant by a spelling such as "degC", "°F", "km/h", "U/min", "pct", "ms". Case and
/// surrounding blanks do not matter; a degree sign may be missing or doubly encoded.
/// "m" is metres and "min" minutes. Unknown spellings give no value.
std::optional<Unit> unit_named(std::string_view spelling);

/// The same, but only among units of one quantity ("F" as a temperature, "m" as a length).
std::optional<Unit> unit_named(std::string_view spelling, Quantity quantity);

} // namespace coolband
