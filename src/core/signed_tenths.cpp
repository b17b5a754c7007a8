// SPDX-License-Identifier: Apache-2.0
// A difference for a person.
#include "core/signed_tenths.hpp"

#include <cmath>

#include <fmt/core.h>

namespace coolband {

std::string signed_tenths(double value) {
  constexpr double k_rounds_to_zero = 0.05;
  return std::abs(value) < k_rounds_to_zero ? "0.0" : fmt::format("{:+.1f}", value);
}

} // namespace coolband
