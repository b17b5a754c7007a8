// SPDX-License-Identifier: Apache-2.0
// Which log is whose.
#include "fleet/find_logs.hpp"

#include "support/scratch_folder.hpp"

#include <doctest/doctest.h>

#include <filesystem>

#include <sys/stat.h>

using namespace coolband;
using coolband::testing::ScratchFolder;

namespace {

using Found = std::vector<std::pair<std::string, std::vector<std::string>>>;

/// Vehicles with their logs, without the scratch folder's path.
Found found_by(const FleetInputs& inputs, const ScratchFolder& folder) {
  const auto plan = plan_fleet(inputs);
  REQUIRE(plan);
  Found found;
  for (std::size_t i = 0; i < plan->vehicles.size(); ++i) {
    std::vector<std::string> logs;
    for (const std::string& log : logs_of(*plan, i).logs)
      logs.push_back(log.substr(folder.path().size() + 1));
    found.emplace_back(plan->id_of(i), logs);
  }
  return found;
}

FleetInputs inputs_of(std::vector<std::string> paths) {
  FleetInputs inputs;
  inputs.paths = std::move(paths);
  return inputs;
}

} // namespace

TEST_CASE("find logs: by the folder below the one that was named, deep or not, sorted") {
  const ScratchFolder folder;
  for (const char* name : {"f/b/2.csv", "f/b/1.csv", "f/a/x/y/3.jsonl", "f/own.csv",
                           "f/b/.hidden.csv", "f/.git/4.csv", "f/b/notes.md", "f/b/5.CSV.GZ"})
    folder.write(name, "x");
  CHECK(found_by(inputs_of({folder.path("f/")}), folder) ==
        Found{{"a", {"f/a/x/y/3.jsonl"}},
              {"b", {"f/b/1.csv", "f/b/2.csv", "f/b/5.CSV.GZ"}},
              {"f", {"f/own.csv"}}});
  FleetInputs all = inputs_of({folder.path("f")});
  all.any_name = true;
  CHECK(found_by(all, folder)[1].second.size() == 4);
}

TEST_CASE("find logs: a file by its own folder, whatever its name; patterns; each once") {
  const ScratchFolder folder;
  for (const char* name : {"a/1.csv", "a/2.csv", "b/odd"}) folder.write(name, "x");
  CHECK(found_by(inputs_of({folder.path("*/1.csv"), folder.path("b/odd"), folder.path("a/1.csv")}),
                 folder) == Found{{"a", {"a/1.csv"}}, {"b", {"b/odd"}}});
  const auto none = plan_fleet(inputs_of({folder.path("*.none")}));
  REQUIRE(none);
  CHECK(none->problems.size() == 1);
}

TEST_CASE("find logs: folders of one name are one vehicle's, with a remark") {
  const ScratchFolder folder;
  for (const char* name : {"a/logs/1.csv", "b/logs/1.csv", "c/1.csv"}) folder.write(name, "x");
  const auto remarks_of = [&](std::vector<std::string> paths) {
    const auto plan = plan_fleet(inputs_of(std::move(paths)));
    REQUIRE(plan);
    return plan->remarks;
  };
  const auto remarks = remarks_of({folder.path("*/logs/*.csv"), folder.path("c/1.csv")});
  REQUIRE(remarks.size() == 1);
  CHECK(remarks[0].starts_with("WARNING: the logs of 2 folders called 'logs' count as one"));
  CHECK(remarks[0].find(folder.path("b/logs")) != std::string::npos);
  CHECK(remarks_of({folder.path("a/logs/1.csv"), folder.path("c/1.csv")}).empty());
  CHECK(remarks_of({folder.path()}).empty());
}

TEST_CASE("find logs: bands, profiles and reports beside the logs are none") {
  const ScratchFolder folder;
  folder.write("f/a/vehicle.json", "{\n \"schema\": \"coolband.vehicle/1\", \"id\": \"a\"}");
  folder.write("f/a.json", "{\"schema\":\"coolband.vehicle/1\"}");
  folder.write("f/a/log.json", "[{\"time\":1}]");
  CHECK(found_by(inputs_of({folder.path("f")}), folder) == Found{{"a", {"f/a/log.json"}}});
}

TEST_CASE("find logs: links in circles and second names of one file") {
  const ScratchFolder folder;
  folder.write("f/a/1.csv", "x");
  std::filesystem::create_symlink(folder.path("f/a"), folder.path("f/a/again"));
  std::filesystem::create_symlink("..", folder.path("f/a/up"));
  std::filesystem::create_symlink("/", folder.path("f/a/root"));
  std::filesystem::create_symlink("1.csv", folder.path("f/a/2.csv"));
  CHECK(found_by(inputs_of({folder.path("f")}), folder) == Found{{"a", {"f/a/1.csv"}}});
}

TEST_CASE("find logs: what is no regular file is told, not read") {
  const ScratchFolder folder;
  folder.write("f/a/1.csv", "x");
  REQUIRE(mkfifo(folder.path("f/a/pipe.csv").c_str(), 0600) == 0);
  std::filesystem::create_symlink("nowhere", folder.path("f/a/gone.csv"));
  const auto plan = plan_fleet(inputs_of({folder.path("f")}));
  REQUIRE(plan);
  const FoundLogs found = logs_of(*plan, 0);
  CHECK(found.logs.size() == 1);
  REQUIRE(found.problems.size() == 2);
  CHECK(found.problems[0].message == "no such file: the link leads nowhere");
  CHECK(found.problems[1].message.starts_with("this is no regular file"));
}

TEST_CASE("find logs: by a pattern on the path") {
  const ScratchFolder folder;
  for (const char* name :
       {"f/2031/van-1_a.csv", "f/2032/van-1_b.csv", "f/2031/van-2_a.csv", "f/2031/x.csv"})
    folder.write(name, "x");
  FleetInputs inputs = inputs_of({folder.path("f")});
  inputs.by = VehicleBy::pattern;
  inputs.pattern = "/([^/]+)_[a-z]\\.csv$";
  CHECK(found_by(inputs, folder) == Found{{"van-1", {"f/2031/van-1_a.csv", "f/2032/van-1_b.csv"}},
                                          {"van-2", {"f/2031/van-2_a.csv"}}});
  CHECK(plan_fleet(inputs)->problems.size() == 1);
  for (const char* wrong : {"(", "no group", "(a)(b)"}) {
    inputs.pattern = wrong;
    const auto plan = plan_fleet(inputs);
    REQUIRE_FALSE(plan);
    CHECK(plan.error().kind == ErrorKind::usage);
  }
}

TEST_CASE("find logs: lists by line or by NUL") {
  CHECK(paths_in("a\nb c\r\n\nd") == std::vector<std::string>{"a", "b c", "d"});
  CHECK(paths_in(std::string_view("a\nb\0c\0", 6)) == std::vector<std::string>{"a\nb", "c"});
  CHECK(paths_in("").empty());
}
