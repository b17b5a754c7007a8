// SPDX-License-Identifier: Apache-2.0
// One vehicle of the bench: its drives learned from, then healthy and faulty drives judged, for
// every set of columns.
#pragma once

#include "accuracy/columns.hpp"
#include "accuracy/drives.hpp"
#include "accuracy/labels.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace coolband::accuracy {

struct Settings {
  std::size_t vehicles = 40;
  std::uint64_t seed = 1;
  std::vector<ColumnSet> sets;
  std::vector<FaultKind> faults;
  bool details = false;
  bool table = false;   ///< every case as one line of JSON
  std::string write_to; ///< directory
  std::string write_id; ///< of the case to be written
};

struct RankedCause {
  Condition condition = Condition::normal;
  double probability = 0.0;
  bool has_check = false;
  double log_evidence = 0.0; ///< of the circuit's best account, beyond the sound vehicle's
};

/// What the report said of a drive; of several trips the one that says most.
struct Verdict {
  Condition condition = Condition::undetermined;
  double confidence = 0.0;
  Action action = Action::none;
  std::string headline;
  std::vector<RankedCause> causes; ///< most probable first
  std::vector<Stretch> episodes;   ///< that nothing explains, of all trips, s from the first row
};

struct Case {
  std::string id; ///< "v12-fan-dead", "v3-healthy-heat", "v3-unseen-fan-dead"
  std::string_view vehicle_kind;
  std::optional<FaultKind> fault; ///< none: healthy
  FaultPlan plan;
  Outing outing = Outing::ordinary;
  double ambient_c = 0.0;
  double hours = 0.0;
  Label label;
  std::vector<Condition> right;
  Verdict verdict;
  double sustained_above_k = 0.0; ///< above the learned median for three minutes together
  std::optional<Condition> rule;  ///< what the fixed rule says; none where nothing was learned
};

/// How often a fault had to be drawn until it could be seen, at most six times a vehicle.
struct Draws {
  std::size_t drawn = 0;
  std::size_t observable = 0;
};

struct VehicleResult {
  std::vector<std::vector<Case>> cases; ///< by set of columns, then in the order of judging
  std::vector<std::string> problems;    ///< what could not be learned or read
  std::array<Draws, k_fault_kinds> draws{};
  bool written = false;   ///< the case that was asked for
  std::size_t boiled = 0; ///< healthy drives that boiled over and were drawn anew
};

VehicleResult run_vehicle(const Settings& settings, std::size_t number);

} // namespace coolband::accuracy
