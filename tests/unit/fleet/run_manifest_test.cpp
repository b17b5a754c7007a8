// SPDX-License-Identifier: Apache-2.0
// What a run says of itself: it comes back as it was, and goes together in any order.
#include "fleet/run_manifest.hpp"

#include "support/scratch_folder.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

RunManifest share(std::size_t number, std::size_t run, const std::string& problem) {
  RunManifest manifest;
  manifest.version = "1";
  manifest.judged_by = "x";
  manifest.recent = 5;
  manifest.shards = {3, {number}};
  manifest.runs = {run};
  manifest.fleets = {{100 + number, "h"}};
  manifest.problems = {{problem, 1, 2, std::string("what"), std::string("how")}};
  manifest.passed_over = number;
  return manifest;
}

} // namespace

TEST_CASE("run manifest: what was written is read, whatever the bytes of an id") {
  const ScratchFolder folder;
  const RunManifest manifest = share(2, 4, "p");
  const std::string id("\0 %\n\xff/a", 7);
  folder.write("list", manifest_line(manifest) + vehicle_line(id, "") + vehicle_line("b", "{}") +
                           vehicle_line("", "") + list_end());
  auto reader = ManifestReader::open(folder.path("list"));
  REQUIRE(reader);
  CHECK(manifest_line(reader->manifest()) == manifest_line(manifest));
  auto next = reader->next();
  CHECK((*next)->id == id);
  CHECK((*next)->record.empty());
  next = reader->next();
  CHECK((*next)->id == "b");
  CHECK((*next)->record == "{}");
  CHECK((*reader->next())->id.empty());
  CHECK_FALSE(reader->next()->has_value());
  CHECK_FALSE(reader->next()->has_value());
}

TEST_CASE("run manifest: a list that was cut is told, not taken for a shorter one") {
  const ScratchFolder folder;
  const std::string whole =
      manifest_line(share(1, 1, "p")) + vehicle_line("a", "") + vehicle_line("b", "") + list_end();
  for (std::size_t size = 0; size < whole.size(); ++size) {
    folder.write("list", whole.substr(0, size));
    auto reader = ManifestReader::open(folder.path("list"));
    bool told = !reader;
    while (!told) {
      const auto next = reader->next();
      told = !next;
      if (next && !*next) break;
    }
    CHECK_MESSAGE(told, size);
  }
}

TEST_CASE("run manifest: together in any order and in steps") {
  const RunManifest a = share(1, 2, "p");
  const RunManifest b = share(2, 3, "q");
  const RunManifest c = share(3, 2, "p");
  const std::string all = manifest_line(together(together(a, b), c));
  CHECK(manifest_line(together(a, together(b, c))) == all);
  CHECK(manifest_line(together(together(c, b), a)) == all);
  const RunManifest whole = together(together(a, b), c);
  CHECK(whole.shards.complete());
  CHECK(whole.run() == 3);
  CHECK(whole.problems.size() == 2);
  CHECK(whole.passed_over == 3);
}

TEST_CASE("run manifest: what does not go together is named") {
  const RunManifest a = share(1, 1, "p");
  RunManifest b = share(2, 1, "p");
  CHECK(why_not_together(a, b).empty());
  b.version = "2";
  CHECK(why_not_together(a, b) == "judged by version 2, not 1");
  b = share(2, 1, "p");
  b.recent = 3;
  CHECK(why_not_together(a, b) == "judged with --recent 3, not 5");
  b = share(2, 1, "p");
  b.judged_by = "y";
  CHECK(why_not_together(a, b).starts_with("judged with other options"));
  b = share(2, 1, "p");
  b.shards.count = 4;
  CHECK(why_not_together(a, b) == "shard 2 of 4, not of 3");
  CHECK(why_not_together(a, a) == "shard 1 once more");
}
