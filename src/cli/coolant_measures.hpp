// SPDX-License-Identifier: Apache-2.0
// Volumes and concentrations of coolant as options take them.
#pragma once

#include "cli/measure.hpp"

namespace coolband::cli {

inline constexpr std::string_view k_volumes = "9.5L, 10qt or 2.5gal (US; impgal for imperial ones)";
inline constexpr std::string_view k_no_stronger =
    "give 0 to 60: no table goes further, and more than 60 % protects less";

inline constexpr MeasureRule k_capacity{"--capacity", Quantity::volume, 0.5, 500.0, k_volumes};
inline constexpr MeasureRule k_drained{"--drained", Quantity::volume, 0.01, 500.0, k_volumes};
inline constexpr MeasureRule k_concentration{"--concentration", Quantity::ratio, 0.0, 60.0,
                                             "50 or 50%",       k_no_stronger};
inline constexpr MeasureRule k_target{"--target", Quantity::ratio, 0.0,
                                      60.0,       "50 or 50%",     k_no_stronger};
inline constexpr MeasureRule k_product{"--product", Quantity::ratio, 1.0, 100.0,
                                       "100 for concentrate, 50 for a premix"};

} // namespace coolband::cli
