// SPDX-License-Identifier: Apache-2.0
// Long trips are cut down to what tells most.
#include "diagnose/circuit_trip.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>

namespace coolband {

namespace {

/// Within the reach of any sensor fault that is looked for, of the air.
std::optional<ColdStart> cold_start(const Blocks& blocks, const CircuitDrive& drive) {
  constexpr double k_reach_k = 25.0;
  if (!drive.saw_ambient || drive.blocks.empty()) return std::nullopt;
  const auto shown_c = static_cast<double>(blocks.coolant[0]);
  const double air_c = 0.1 * drive.blocks[0].ambient_dc;
  if (!(std::abs(shown_c - air_c) < k_reach_k)) return std::nullopt;
  return ColdStart{shown_c, air_c};
}

} // namespace

CircuitTrip circuit_trip(const Blocks& blocks, std::span<const BlockRange> telling,
                         const std::vector<bool>& unbelievable) {
  constexpr std::size_t k_beginning = 240;
  constexpr std::size_t k_before = 60;
  constexpr std::size_t k_longest_range = 360;
  std::vector<std::uint8_t> chosen(blocks.size(), blocks.size() <= k_most_blocks ? 1 : 0);
  std::size_t count = blocks.size() <= k_most_blocks ? blocks.size() : 0;
  const auto choose = [&](std::size_t first, std::size_t last) {
    for (std::size_t i = first; i < std::min(last + 1, blocks.size()); ++i) {
      if (chosen[i] != 0 || count >= k_most_blocks) continue;
      chosen[i] = 1;
      ++count;
    }
  };
  choose(0, k_beginning);
  for (const BlockRange& range : telling)
    choose(range.first - std::min(range.first, k_before),
           std::min(range.last + k_before, range.first + k_longest_range));
  choose(0, blocks.size()); // whatever room is left

  CircuitDrive drive = circuit_drive(blocks, std::numeric_limits<double>::infinity());
  CircuitTrip trip;
  std::vector<CircuitBlock> kept;
  for (std::size_t i = 0; i < drive.blocks.size(); ++i) {
    if (chosen[i] == 0) continue;
    CircuitBlock block = drive.blocks[i];
    if (!unbelievable.empty() && unbelievable[i]) {
      block.coolant_cc = CircuitBlock::k_no_reading;
      block.scored = false;
    }
    if (!trip.block.empty() && trip.block.back() + 1 != i) {
      block.begins = true;
      block.scored = false;
    }
    kept.push_back(block);
    trip.block.push_back(i);
  }
  drive.blocks = std::move(kept);
  trip.inputs = circuit_inputs({&drive, 1});
  trip.inputs.cold_start = cold_start(blocks, drive);
  trip.complete = drive.saw_load && drive.saw_speed && drive.saw_ambient;
  return trip;
}

} // namespace coolband
