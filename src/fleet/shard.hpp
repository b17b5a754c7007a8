// SPDX-License-Identifier: Apache-2.0
// The share of a fleet that one run judges, so that many machines can judge one fleet.
#pragma once

#include "fleet/find_logs.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

inline constexpr std::size_t k_most_shards = 100000;

/// Shards of a fleet that is split into `count`; all of it is shard 1 of 1.
struct Shards {
  std::size_t count = 1;
  std::vector<std::size_t> numbers{1}; ///< from 1, ascending

  bool operator==(const Shards&) const = default;
  [[nodiscard]] bool complete() const { return numbers.size() == count; }
};

/// "shard 2 of 8", "shards 1, 2 of 8".
std::string words_of(const Shards& shards);

/// "2/8". Error (kind usage): not 1 <= K <= N <= 100000.
Result<Shards> parse_shard(std::string_view text);

/// The shard of a vehicle, from 1: the upper half of the XXH64 (seed 0) of the id's bytes, modulo
/// `count`, plus 1. It depends on nothing else, so it is the same on every machine.
std::size_t shard_of(std::string_view id, std::size_t count);

/// Leaves only the vehicles of these shards in the plan.
void keep_shards(FleetPlan& plan, const Shards& shards);

} // namespace coolband
