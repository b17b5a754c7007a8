// SPDX-License-Identifier: Apache-2.0
// The recording does not depend on the sizes of the blocks in which the bytes come, and damage of
// any kind ends in a recording or an error, never in anything else.
#include "import/import_source.hpp"
#include "unit/import/byte_sources.hpp"

#include <cstdint>

using namespace coolband;
using namespace coolband::test;

namespace {

std::string story(const Recording& log) {
  std::string text = log.how.format + log.how.delimiter + log.how.clock +
                     listed(log.how.set_aside) + listed(log.how.missing_cells);
  for (const auto& note : log.how.notes) text += note;
  for (std::size_t i = 0; i < log.size(); ++i) {
    text += std::to_string(log.time_s[i]) + "/" + std::to_string(log.column(Role::coolant)[i]) +
            "@" + std::to_string(log.row_map.at(i).line) + " ";
  }
  return text;
}

/// A log longer than the sample and than one block, with every oddity in it.
std::string long_csv(std::size_t rows) {
  std::string text = "# log\r\ntime_s;\"K\xC3\xBChlmittel \"\"temp\"\" (C)\";Last [%]\r\n";
  for (std::size_t i = 0; i < rows; ++i) {
    text += std::to_string(i);
    text += i % 7 == 0 ? ";\"90,5\";" : ";85,25;";
    text += i % 11 == 0 ? "n/a" : i % 13 == 0 ? "?!" : "12,5";
    text += i % 5 == 0 ? "\r\n" : "\n";
    if (i % 17 == 0) text += "broken\n\n";
    if (i % 19 == 0) text += "\"a\nb\"\n";
  }
  return text;
}

std::string long_json(std::size_t rows, bool lines) {
  std::string text = lines ? "" : "[";
  for (std::size_t i = 0; i < rows; ++i) {
    text += "{\"time_s\":" + std::to_string(i) +
            ",\"note\":\"a \\\"}] \\u00e4\",\"coolant_c\":" + (i % 9 == 0 ? "null" : "88.5") + "}" +
            (lines          ? "\n"
             : i + 1 < rows ? ",\n"
                            : "]");
  }
  return text;
}

/// Damage of several kinds inside one array, each between good records.
std::string damaged_json() {
  std::string text = "{\"about\":1,\"rows\":[";
  std::size_t time_s = 0;
  const auto good = [&] {
    return "{\"time_s\":" + std::to_string(time_s++) + ",\"coolant_c\":88.5},\n";
  };
  for (const char* scrap :
       {"7", R"("time_s":3,"in":{"x":[1]}})", "{\"time_s\":4,\"coo\n}", R"({"time_s":5,"a":[1}})",
        R"({"time_s":6,"coolant_c":1)", R"([1,{"a":2}])", R"({"time_s":7,"a":"})"}) {
    for (int i = 0; i < 5; ++i) text += good();
    text += std::string(scrap) + ",\n";
  }
  for (int i = 0; i < 20; ++i) text += good();
  return text + "{\"time_s\":99,\"coolant_c\":88}],\"more\":[1,2]}";
}

std::string long_rows(std::size_t rows) {
  std::string text = "{\"fields\":[\"time_s\",\"coolant_c\"],\"data\":[";
  for (std::size_t i = 0; i < rows; ++i) {
    text += (i > 0 ? ",[" : "[") + std::to_string(i) + ",8" + (i % 9 == 0 ? "8.5" : "e0") + "]";
  }
  return text + "]}";
}

} // namespace

TEST_CASE("block sizes from 1 to 64 give the same recording as memory") {
  for (const std::string& text :
       {long_csv(150), long_json(80, true), long_json(80, false), damaged_json(), long_rows(60)}) {
    const std::string whole = story(read(text));
    for (std::size_t most = 1; most <= 64; ++most) {
      DripSource source(text, most);
      const auto dripped = import_source(source, "log", {});
      REQUIRE(dripped.ok());
      CHECK_MESSAGE(story(*dripped) == whole, most);
    }
  }
}

TEST_CASE("a log of several blocks is the same whole and in odd pieces") {
  for (const std::string& text :
       {long_csv(60000), long_json(20000, true), long_json(20000, false)}) {
    REQUIRE(text.size() > std::size_t{512} * 1024);
    DripSource source(text, 9973);
    const auto dripped = import_source(source, "log", {});
    REQUIRE(dripped.ok());
    CHECK(story(*dripped) == story(read(text)));
  }
}

TEST_CASE("random damage ends in a recording or an error with words") {
  std::uint64_t state = 7;
  const auto next = [&] {
    state = state * 6364136223846793005U + 1442695040888963407U;
    return static_cast<std::size_t>(state >> 33);
  };
  const std::string bases[] = {long_csv(20),
                               long_json(20, true),
                               long_json(20, false),
                               long_rows(20),
                               "{\"a\":{\"data\":" + long_json(20, false) + "}}",
                               "{\"time\":[1,2,3],\"coolant\":[90,91,92]}",
                               "Date,Time,ECT\n1/2/2031,3:04 PM,90\n",
                               "time\tect\n2031-02-03T04:05:06+01:00\t85,5\n"};
  std::size_t read_well = 0;
  for (int i = 0; i < 6000; ++i) {
    std::string text = bases[next() % std::size(bases)];
    for (std::size_t k = next() % 6; k > 0; --k) {
      const std::size_t at = next() % text.size();
      if (next() % 3 == 0)
        text.erase(at, 1 + next() % 9);
      else if (next() % 2 == 0)
        text[at] = static_cast<char>(next());
      else
        text.insert(at, 1, "\"\\,;\n\r{}[]:\t#"[next() % 13]);
      if (text.empty()) text = "x";
    }
    const auto result = import_text(text, "log");
    if (!result.ok()) {
      CHECK_FALSE(result.error().message.empty());
      continue;
    }
    ++read_well;
    for (const auto& column : result->values)
      CHECK((column.empty() || column.size() == result->size()));
  }
  CHECK(read_well > 1000);
}
