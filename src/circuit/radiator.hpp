// SPDX-License-Identifier: Apache-2.0
// Heat exchangers by effectiveness and number of transfer units: the textbook's formulas. The
// circuit's radiator (air_side.cpp) is the first one while its coolant has the larger capacity
// rate.
#pragma once

namespace coolband {

/// Effectiveness 0..1 for `transfer_units` = UA/C_min >= 0 and `ratio` = C_min/C_max, 0..1.
/// Incropera, Fundamentals of Heat and Mass Transfer, table 11.3 (from memory): cross-flow with the
/// larger capacity rate mixed, and counterflow. `both_unmixed` is eq. 11.32's approximation.
double effectiveness_larger_mixed(double transfer_units, double ratio);
double effectiveness_counterflow(double transfer_units, double ratio);
double effectiveness_both_unmixed(double transfer_units, double ratio);

} // namespace coolband
