// SPDX-License-Identifier: Apache-2.0
// Shards of a fleet: the same on every machine, each vehicle in exactly one.
#include "fleet/shard.hpp"

#include <algorithm>
#include <array>

#include <doctest/doctest.h>

using namespace coolband;

TEST_CASE("shard: it follows from the id's hash alone") {
  // XXH64 of nothing is ef46db3751d8e999, of "a" d24ec4f1a98c6e5b (xxh64sum 0.8.1).
  CHECK(shard_of("", 8) == 0xef46db37 % 8 + 1);
  CHECK(shard_of("a", 8) == 0xd24ec4f1 % 8 + 1);
  CHECK(shard_of("a", 1000) == 0xd24ec4f1 % 1000 + 1);
  CHECK(shard_of("any", 1) == 1);
}

TEST_CASE("shard: the words of a share") {
  CHECK(*parse_shard("2/8") == Shards{8, {2}});
  CHECK(parse_shard("1/1")->complete());
  for (const char* wrong :
       {"", "/", "2", "2/", "/8", "0/8", "9/8", "-1/8", "2/8x", "2/ 8", "1/100001"})
    CHECK_FALSE_MESSAGE(parse_shard(wrong), wrong);
  CHECK(words_of({8, {2}}) == "shard 2 of 8");
  CHECK(words_of({8, {2, 5}}) == "shards 2, 5 of 8");
}

TEST_CASE("shard: every vehicle keeps its places in exactly one share, and shares are much alike") {
  FleetPlan whole;
  for (std::uint32_t i = 0; i < 8000; ++i) {
    whole.vehicles.push_back(2 * i);
    for (const char* log : {"a.csv", "b.csv"})
      whole.places.push_back({"ranger " + std::to_string(i), log, 0, false});
  }
  std::size_t all = 0;
  for (std::size_t number = 1; number <= 8; ++number) {
    FleetPlan plan = whole;
    keep_shards(plan, {8, {number}});
    all += plan.vehicles.size();
    // A vehicle falls into a share by chance: mean 1000, standard deviation 30.
    CHECK(plan.vehicles.size() > 850);
    CHECK(plan.vehicles.size() < 1150);
    for (std::size_t i = 0; i < plan.vehicles.size(); ++i) {
      CHECK(shard_of(plan.id_of(i), 8) == number);
      CHECK(plan.places_of(i).size() == 2);
    }
  }
  CHECK(all == whole.vehicles.size());
}
