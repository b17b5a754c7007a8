// SPDX-License-Identifier: Apache-2.0
// A part of a whole.
#pragma once

#include "core/lanes.hpp"

namespace coolband {

/// `Real`: double or Lanes.
template <class Real>
[[gnu::always_inline]] inline Real share(const Real& value) {
  return between<Real>(value, 0.0, 1.0);
}

} // namespace coolband
