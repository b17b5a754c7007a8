// SPDX-License-Identifier: Apache-2.0
// Shares, calibration and their uncertainty over many judged drives.
#pragma once

#include "accuracy/trial.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace coolband::accuracy {

/// So many of so many.
struct Count {
  std::size_t events = 0;
  std::size_t trials = 0;
  void add(bool event) {
    events += event ? 1U : 0U;
    ++trials;
  }
};

/// "12 of 300 = 4.0 % (2.3-6.9)": with Wilson's 95 % interval.
std::string share_text(const Count& count);

struct Bin {
  std::size_t count = 0;
  double claimed = 0.0; ///< sum of the probabilities
  double came = 0.0;    ///< how many were so
};

/// Probabilities beside what came true.
struct Calibration {
  std::array<Bin, 10> bins{}; ///< by claimed probability, in tenths
  double squared = 0.0;
  std::size_t count = 0;

  void add(double probability, bool came);
  /// Mean squared difference (Brier 1950, from memory); NaN without a case.
  [[nodiscard]] double brier() const;
};

// What is asked of one case.
bool alarms(const Case& judged);            ///< a fault or `overheating` reported
bool named_right(const Case& judged);       ///< the verdict is a right name
bool right_or_second(const Case& judged);   ///< ... or ranked second with the check named
double chance_of_fault(const Case& judged); ///< 1 - P(normal)
/// Of a verdict that names a fault: whether rightly.
bool name_holds(const Case& judged);
/// s from the first wrong reading to the start of the first episode that does not end before it.
std::optional<double> delay_s(const Case& judged);
/// Time in both episodes and faulty stretches over time in either; 0 without episodes.
double overlap(const Case& judged);

bool contains(const std::vector<Condition>& names, Condition condition);

} // namespace coolband::accuracy
