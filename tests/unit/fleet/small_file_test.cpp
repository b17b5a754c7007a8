// SPDX-License-Identifier: Apache-2.0
// Names that are no paths, and files that are whole or not there.
#include "fleet/small_file.hpp"

#include "core/text_file.hpp"
#include "support/scratch_folder.hpp"

#include <doctest/doctest.h>

#include <filesystem>

using namespace coolband;
using coolband::testing::ScratchFolder;

namespace {

std::size_t files_in(const std::string& folder) {
  std::size_t count = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder))
    count += entry.exists() ? 1U : 0U;
  return count;
}

} // namespace

TEST_CASE("file name: what stands for itself, and what does not") {
  CHECK(file_name_of("van-3_B.2") == "van-3_B.2");
  CHECK(file_name_of("../../etc/passwd") == "%2E.%2F..%2Fetc%2Fpasswd");
  CHECK(file_name_of(".hidden") == "%2Ehidden");
  CHECK(file_name_of("") == "%");
  CHECK(file_name_of("%") == "%25");
  CHECK(file_name_of(std::string("a\0b", 3)) == "a%00b");
  CHECK(file_name_of("Fährte") == "F%C3%A4hrte");
}

TEST_CASE("file name: long ids are cut, but stay apart") {
  const std::string a(300, 'a');
  CHECK(file_name_of(a).size() < 200);
  CHECK(file_name_of(a) != file_name_of(a + "b"));
  CHECK(file_name_of(a) == file_name_of(a));
}

TEST_CASE(
    "pending file: nothing is there before it is finished, and nothing is left of it if not") {
  const ScratchFolder folder;
  const std::string path = folder.path("x");
  {
    auto file = PendingFile::begin(path);
    REQUIRE(file);
    CHECK_FALSE(file->write("half"));
    CHECK_FALSE(std::filesystem::exists(path));
  }
  CHECK(files_in(folder.path()) == 0);
  REQUIRE(write_whole(path, "whole", IfThere::keep));
  CHECK(*read_text_file(path) == "whole");
  CHECK(files_in(folder.path()) == 1);
}

TEST_CASE("pending file: what is there stays, or is replaced") {
  const ScratchFolder folder;
  const std::string path = folder.path("x");
  CHECK(*write_whole(path, "first", IfThere::keep));
  CHECK_FALSE(*write_whole(path, "second", IfThere::keep));
  CHECK(*read_text_file(path) == "first");
  CHECK(*write_whole(path, "third", IfThere::replace));
  CHECK(*read_text_file(path) == "third");
  CHECK(files_in(folder.path()) == 1);
}

TEST_CASE("pending file: a folder that is not there is an error of output") {
  const ScratchFolder folder;
  const auto written = write_whole(folder.path("no/x"), "text", IfThere::replace);
  REQUIRE_FALSE(written);
  CHECK(written.error().kind == ErrorKind::output);
}

TEST_CASE("what killed runs left half written goes, the rest stays") {
  const ScratchFolder folder;
  REQUIRE(write_whole(folder.path(".coolband-abc"), "x", IfThere::keep));
  REQUIRE(write_whole(folder.path("kept"), "x", IfThere::keep));
  remove_half_written(folder.path());
  CHECK_FALSE(std::filesystem::exists(folder.path(".coolband-abc")));
  CHECK(std::filesystem::exists(folder.path("kept")));
}
