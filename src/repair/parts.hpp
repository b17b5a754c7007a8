// SPDX-License-Identifier: Apache-2.0
// Parts and consumables of a job by generic name, and what they cost by the user's own prices.
#pragma once

#include "repair/job_coolant.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

struct PartKind {
  std::string_view id; ///< "hose-clamp": what prices and lives are given for
  std::string_view name;
  std::string_view unit; ///< "L", "h", or empty for pieces
};

/// All that a price can be given for, with "labour-hour".
std::span<const PartKind> part_kinds();

/// The entry of an id that is known.
const PartKind& part_kind(std::string_view id);

enum class PartNeed : std::uint8_t { needed, if_found_bad };
std::string_view name_of(PartNeed need);

struct PlannedPart {
  PartKind kind;
  std::optional<double> quantity; ///< none where a figure for it is missing
  PartNeed need = PartNeed::needed;
  std::string note;            ///< rating, or which one
  std::optional<double> price; ///< for one (or one L)
};

std::vector<PlannedPart> parts_for(RepairKind kind, const JobFacts& facts,
                                   const std::optional<JobCoolant>& coolant);

/// A price for one piece, one L or one hour.
struct PartPrice {
  std::string id;
  double price = 0.0;
};

struct Costs {
  std::string currency; ///< as the user writes it; may be empty
  double needed = 0.0;  ///< sum over the needed parts that have a price
  double if_found_bad = 0.0;
  std::optional<double> labour;      ///< hours by their price; not in `needed`
  std::vector<std::string> unpriced; ///< names of needed parts that are not in the sum
};

/// Puts prices beside parts and adds them up; none without any price for these parts and hours.
std::optional<Costs> cost_up(std::vector<PlannedPart>& parts, const std::vector<PartPrice>& prices,
                             const std::string& currency,
                             const std::optional<double>& hours = std::nullopt);

} // namespace coolband
