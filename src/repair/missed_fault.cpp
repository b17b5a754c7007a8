// SPDX-License-Identifier: Apache-2.0
// The chance that drives without a sign of a fault all missed it.
#include "repair/missed_fault.hpp"

#include "core/portable_math.hpp"

#include <cmath>

namespace coolband {

namespace {

/// Jeffreys' prior of a share.
constexpr double k_half_a_drive = 0.5;
constexpr std::size_t k_most_drives = 1000;

} // namespace

double likely_share(const ShowingRate& rate) {
  if (rate.share) return *rate.share;
  const auto able = static_cast<double>(rate.able);
  return (static_cast<double>(rate.shown) + k_half_a_drive) / (able + 2.0 * k_half_a_drive);
}

double missed_chance(const ShowingRate& rate, std::size_t clean) {
  if (rate.share) return portable_pow(1.0 - *rate.share, static_cast<double>(clean));
  const double missed = static_cast<double>(rate.able - rate.shown) + k_half_a_drive;
  const double all = static_cast<double>(rate.able) + 2.0 * k_half_a_drive;
  double chance = 1.0; // B(a, b + clean) / B(a, b), factor by factor
  for (std::size_t i = 0; i < clean; ++i)
    chance *= (missed + static_cast<double>(i)) / (all + static_cast<double>(i));
  return chance;
}

std::optional<std::size_t> clean_drives_needed(const ShowingRate& rate, double allowed) {
  for (std::size_t clean = 0; clean <= k_most_drives; ++clean) {
    if (missed_chance(rate, clean) <= allowed) return clean;
  }
  return std::nullopt;
}

} // namespace coolband
