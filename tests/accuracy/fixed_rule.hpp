// SPDX-License-Identifier: Apache-2.0
// The bench's anchor: what a practitioner does with two numbers and no statistics.
#pragma once

#include "coolband/diagnose/judgement.hpp"
#include "coolband/import/recording.hpp"

#include <optional>
#include <vector>

namespace coolband::accuracy {

/// Readings of one log: time in s, coolant in °C (NaN: none).
struct Readings {
  std::vector<double> time_s;
  std::vector<double> coolant_c;
};

Readings readings_of(const Recording& recording);

/// Median of all readings after the first ten minutes of each drive; none without such readings.
std::optional<double> normal_median_c(const std::vector<Readings>& drives);

/// How far above the median the readings stayed for three minutes together, after the first ten, K.
double sustained_above_k(const Readings& drive, double median_c);

/// After the first ten minutes: 11 °C below the median for three minutes together is a thermostat
/// stuck open (the 11 °C of 13 CCR 1968.2 (e)(10), section from memory), 12 °C above it one stuck
/// shut, both in one drive a sticking one; else normal.
Condition judge_by_rule(const Readings& drive, double median_c);

} // namespace coolband::accuracy
