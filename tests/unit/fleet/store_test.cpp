// SPDX-License-Identifier: Apache-2.0
// The store: one run at a time, whole files only, and runs that are counted when they are complete.
#include "fleet/store.hpp"

#include "core/text_file.hpp"
#include "fleet/content_hash.hpp"
#include "support/scratch_folder.hpp"
#include "unit/fleet/made_records.hpp"

#include <doctest/doctest.h>

#include <fstream>

using namespace coolband;
using namespace coolband::testing;

namespace {

const std::string k_reports = "{\"a\":1}\n{\"b\":2}\n";

void put(const Store& store, const VehicleRecord& vehicle) {
  auto file = store.begin_vehicle(vehicle.id);
  REQUIRE(file);
  REQUIRE_FALSE(file->write(k_reports));
  REQUIRE_FALSE(finish_vehicle(*file, vehicle, k_reports.size(), hash_of(k_reports)));
}

std::string reports_of(const StoredVehicle& stored) {
  std::string text;
  REQUIRE_FALSE(stored.copy_reports([&](std::string_view piece) {
    text += piece;
    return std::optional<Error>();
  }));
  return text;
}

} // namespace

TEST_CASE("store: a vehicle comes back with its reports") {
  const ScratchFolder folder;
  const auto store = Store::open(folder.path("s"), false);
  REQUIRE(store);
  CHECK_FALSE(store->read("a"));
  const auto vehicle = made_vehicle("../a", {made_trip(Action::none, 0.9)});
  put(*store, vehicle);
  const auto stored = store->read("../a");
  REQUIRE(stored);
  CHECK(record_json(stored->record) == record_json(vehicle));
  CHECK(reports_of(*stored) == k_reports);
  CHECK(stored->reports_whole());
}

TEST_CASE("store: a file cut anywhere, or with any byte changed, is not taken for whole") {
  const ScratchFolder folder;
  const auto store = Store::open(folder.path("s"), false);
  REQUIRE(store);
  put(*store, made_vehicle("a", {made_trip(Action::none, 0.9)}));
  const std::string path = store->path_of("a");
  const std::string good = *read_text_file(path);
  const auto whole = [&](const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
    const auto stored = store->read("a");
    return stored && stored->reports_whole();
  };
  CHECK(whole(good));
  for (std::size_t size = 0; size < good.size(); ++size) CHECK_FALSE(whole(good.substr(0, size)));
  for (std::size_t at = 0; at < good.size(); ++at) {
    std::string bad = good;
    bad[at] = static_cast<char>(bad[at] ^ 1);
    CHECK_FALSE(whole(bad));
  }
  CHECK_FALSE(whole(good + "x"));
}

TEST_CASE("store: one run at a time; a run counts when it is complete") {
  const ScratchFolder folder;
  {
    auto first = Store::open(folder.path("s"), false);
    REQUIRE(first);
    CHECK(first->run() == 1);
    const auto second = Store::open(folder.path("s"), false);
    REQUIRE_FALSE(second);
    CHECK(second.error().kind == ErrorKind::output);
    CHECK(second.error().message.starts_with("another run (process "));
  }
  {
    auto again = Store::open(folder.path("s"), false);
    REQUIRE(again);
    CHECK(again->run() == 1);
    REQUIRE_FALSE(again->begin_run({}));
    CHECK_FALSE(open_completed(folder.path("s")));
    RunManifest manifest;
    manifest.runs = {1};
    REQUIRE_FALSE(again->complete(manifest, Spool()));
  }
  CHECK(Store::open(folder.path("s"), false)->run() == 2);
  CHECK(open_completed(folder.path("s")));
}

TEST_CASE("store: of another version it is refused and left alone") {
  const ScratchFolder folder;
  folder.write("s/store.json", "{\"schema\":\"coolband.store/2\",\"completed_runs\":1}");
  const auto store = Store::open(folder.path("s"), false);
  REQUIRE_FALSE(store);
  CHECK(store.error().kind == ErrorKind::usage);
}
