// SPDX-License-Identifier: Apache-2.0
// One heading understood: its meaning and the unit that it names.
#pragma once

#include "coolband/core/units.hpp"
#include "import/vocabulary.hpp"

#include <optional>
#include <string_view>

namespace coolband {

struct HeadingReading {
  Sense sense;
  std::optional<Unit> unit;
};

/// What kind of unit a role is measured in; `Quantity::none` for text roles.
Quantity quantity_of(Role role);

/// coolband's own unit for a role, as it is printed; empty where there is none.
std::string_view own_unit(Role role);

/// The unit meant by `spelling`, if a column of this role can have it. Knows "fraction", "0-1" and
/// "0-255" (a raw byte) for percentages besides the table of units.
std::optional<Unit> unit_for(Role role, std::string_view spelling);

/// Tries the heading with each way to split a unit off: "Coolant [°C]", "coolant (degC)",
/// "coolant_c", "coolantTempF", "Coolant/°C", and at last the heading as it stands. A unit that the
/// role cannot have means that the split was wrong. A bracket that is no unit must not contradict:
/// "Temperature (oil)" is no coolant; neither is "SPN 175 Coolant temperature". A heading that
/// means nothing loses the leading containers of its path: "data.sensors.ect" is "ect".
/// `unit_below` is the cell of a units row, which some phrases need to mean anything.
std::optional<HeadingReading> read_heading(std::string_view heading, const Vocabulary& known,
                                           std::string_view unit_below = {});

} // namespace coolband
