// SPDX-License-Identifier: Apache-2.0
// The share of a fleet that one run judges.
#include "fleet/shard.hpp"

#include "fleet/content_hash.hpp"

#include <algorithm>
#include <charconv>
#include <optional>

#include <fmt/core.h>

namespace coolband {

namespace {

std::optional<std::size_t> whole_number(std::string_view text) {
  std::size_t number = 0;
  const char* end = text.data() + text.size();
  const auto [at, error] = std::from_chars(text.data(), end, number);
  return error == std::errc() && at == end ? std::optional(number) : std::nullopt;
}

} // namespace

std::string words_of(const Shards& shards) {
  std::string text = shards.numbers.size() == 1 ? "shard " : "shards ";
  for (std::size_t i = 0; i < shards.numbers.size(); ++i)
    text += fmt::format("{}{}", i == 0 ? "" : ", ", shards.numbers[i]);
  return text + fmt::format(" of {}", shards.count);
}

Result<Shards> parse_shard(std::string_view text) {
  const std::size_t slash = std::min(text.find('/'), text.size());
  const auto number = whole_number(text.substr(0, slash));
  const auto count = whole_number(text.substr(std::min(slash + 1, text.size())));
  if (number && count && *number >= 1 && *number <= *count && *count <= k_most_shards)
    return Shards{*count, {*number}};
  return Error{
      ErrorKind::usage,
      {},
      fmt::format("--shard '{}' is no share of a fleet", text),
      "",
      fmt::format("give K/N, e.g. 2/8, with K from 1 to N and N at most {}", k_most_shards)};
}

std::size_t shard_of(std::string_view id, std::size_t count) {
  // The lower half says in which folder of the store the vehicle lies.
  return static_cast<std::size_t>(hash_of(id) >> 32U) % count + 1;
}

void keep_shards(FleetPlan& plan, const Shards& shards) {
  std::vector<Place> places;
  std::vector<std::uint32_t> vehicles;
  for (std::size_t i = 0; i < plan.vehicles.size(); ++i) {
    const std::size_t shard = shard_of(plan.id_of(i), shards.count);
    if (!std::binary_search(shards.numbers.begin(), shards.numbers.end(), shard)) continue;
    vehicles.push_back(static_cast<std::uint32_t>(places.size()));
    for (const Place& place : plan.places_of(i)) places.push_back(place);
  }
  plan.places = std::move(places);
  plan.vehicles = std::move(vehicles);
}

} // namespace coolband
