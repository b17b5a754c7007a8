// SPDX-License-Identifier: Apache-2.0
// The chance that drives without a sign of a fault all missed it.
#pragma once

#include <cstddef>
#include <optional>

namespace coolband {

/// How often a fault shows in a drive that is able to show it: counted, or known otherwise.
struct ShowingRate {
  std::size_t shown = 0;       ///< drives in which it showed
  std::size_t able = 0;        ///< of so many that were able to show it
  std::optional<double> share; ///< known to the user, 0..1; goes before the count
};

/// The share as the best single figure.
double likely_share(const ShowingRate& rate);

/// Chance that all of `clean` drives miss a fault that is still there. With a known share s that is
/// (1-s)^clean. A count tells s only roughly, so it is the mean of that over what the count leaves
/// possible: Jeffreys' Beta(shown + 1/2, able - shown + 1/2). One faulty drive of one is no
/// certainty that the next would show it.
double missed_chance(const ShowingRate& rate, std::size_t clean);

/// Clean drives until the chance is `allowed` or less; none where a thousand are too few.
std::optional<std::size_t> clean_drives_needed(const ShowingRate& rate, double allowed);

} // namespace coolband
