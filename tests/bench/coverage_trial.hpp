// SPDX-License-Identifier: Apache-2.0
// One simulated vehicle of the coverage study: bands learned from 1 to 30 of its drives, tried on
// drives that they have not seen.
//
// A thermostat that has long been shut, or wide open, does not regulate, and a sound one does both:
// it is shut on an engine that a descent, an idle or frost cools faster than it is heated, and
// until a warm-up is through. The simulation knows its valve, so content is told for regulated
// running, which is what a band promises to hold, and for all that the library took for it.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>

namespace coolband::testing {

using Counts = std::map<std::string, std::size_t>;

inline constexpr std::array<std::size_t, 4> k_learned{1, 3, 10, 30};

/// Which columns the logs of a vehicle have besides time and coolant.
struct LogColumns {
  std::string_view name;
  bool load = true;
  bool ambient = true;
  bool motion = true; ///< engine speed, road speed, altitude
};
inline constexpr std::array<LogColumns, 4> k_columns{{{"load and ambient", true, true, true},
                                                      {"ambient only", false, true, true},
                                                      {"neither", false, false, true},
                                                      {"coolant alone", false, false, false}}};

/// What one band of one vehicle came to on the test drives.
struct TrialOutcome {
  std::string refused; ///< why there is no band; empty when there is one
  Counts left_out;
  double inside_s = 0.0; ///< warm blocks only, here and below
  double judged_s = 0.0;
  double inside_regulated_s = 0.0;
  double regulated_s = 0.0;
  double half_width_s = 0.0; ///< K s: half widths at the blocks' own conditions
  std::size_t drives = 0;
  std::size_t with_episode = 0; ///< drives with an unexplained episode
  std::size_t accused = 0;      ///< verdict neither normal nor undetermined
  std::size_t undetermined = 0;

  [[nodiscard]] double content() const { return judged_s > 0.0 ? inside_s / judged_s : 0.0; }
  [[nodiscard]] double regulated_content() const {
    return regulated_s > 0.0 ? inside_regulated_s / regulated_s : 0.0;
  }
  [[nodiscard]] double half_width_c() const {
    return judged_s > 0.0 ? half_width_s / judged_s : 0.0;
  }
};

/// Rows of CSV; empty unless asked for.
struct Details {
  std::string vehicles;
  std::string drives;
  std::string blocks;
};

struct VehicleResult {
  std::array<std::array<TrialOutcome, k_learned.size()>, k_columns.size()> outcomes;
  std::array<Counts, k_columns.size()> unlearnable; ///< logs without a summary, by reason
  Details details;
};

struct TrialPlan {
  std::uint64_t seed = 1;
  std::size_t index = 0; ///< of the vehicle
  std::size_t tests = 10;
  bool details = false;
};

/// Depends on the plan only.
VehicleResult run_trial(const TrialPlan& plan);

} // namespace coolband::testing
