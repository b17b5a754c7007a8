// SPDX-License-Identifier: Apache-2.0
// The reader against the plain parser of the library: both accept the same records and find the
// same values in them, however the records are written and damaged.
#include "import/json_reader.hpp"

#include "import/byte_source.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <charconv>
#include <cmath>
#include <cstdint>
#include <map>
#include <random>

using namespace coolband;

namespace {

using Json = nlohmann::json;

struct ReadRow {
  std::size_t line = 0;
  std::vector<std::string> cells;
  std::string fault;
};

struct ReadAll {
  std::vector<std::string> keys;
  std::vector<ReadRow> rows;
  std::vector<std::string> notes;
};

/// Small blocks bring the border of the window to many places of the records.
ReadAll read_all(std::string_view text, const JsonShape& shape, std::size_t block) {
  auto head = find_json_head(text, true, shape, "log");
  REQUIRE(head.ok());
  MemorySource source(text);
  InputBuffer input(source, block);
  ReadAll all;
  all.keys = head->keys;
  JsonReader reader(input, shape, std::move(*head));
  Row row;
  while (reader.next(row)) {
    all.rows.push_back({row.line, {row.cells.begin(), row.cells.end()}, std::string(row.fault)});
  }
  CHECK_FALSE(reader.error());
  all.notes = reader.notes();
  return all;
}

struct Parsed {
  bool valid = false;
  Json object; ///< null when it holds a number that no double can; that is valid JSON too
};

Parsed parsed(const std::string& text) {
  try {
    Json value = Json::parse(text);
    return value.is_object() ? Parsed{true, std::move(value)} : Parsed{};
  } catch (const Json::out_of_range&) {
    return {true, {}};
  } catch (const Json::parse_error&) {
    return {};
  }
}

std::string cell_of(const Json& value) {
  if (value.is_null()) return {};
  if (value.is_string()) return value.get<std::string>();
  if (value.is_boolean()) return value.get<bool>() ? "true" : "false";
  return value.dump();
}

bool same_cell(const std::string& cell, const Json& value) {
  if (!value.is_number()) return cell == cell_of(value);
  double read = 0.0;
  const auto [end, code] = std::from_chars(cell.data(), cell.data() + cell.size(), read);
  return code == std::errc() && end == cell.data() + cell.size() && read == value.get<double>();
}

/// Records of a few layouts, as a logger that leaves fields out would write them.
class RecordMaker {
 public:
  explicit RecordMaker(std::uint32_t seed) : random_(seed) {}

  std::string make() {
    std::string text = "{";
    const std::size_t layout = pick(3);
    for (std::size_t key = 0; key < 4; ++key) {
      if (layout == 1 && key == 2) continue;
      text += text.size() > 1 ? (layout == 2 ? " , " : ",") : "";
      text += "\"" + keys()[key] + (layout == 2 ? "\": " : "\":") + value();
    }
    if (pick(40) == 0) text += R"(,"more":{"in":[1,{"a":2}],"y":)" + value() + "}";
    return text + "}";
  }
  std::string damage(std::string text) {
    const std::size_t at = pick(text.size());
    if (pick(3) == 0)
      text.erase(at, 1 + pick(5));
    else if (pick(2) == 0)
      text[at] = static_cast<char>(' ' + pick(95));
    else
      text.insert(at, 1, "\"\\,:{}[]e-.0 "[pick(13)]);
    return text;
  }
  std::size_t pick(std::size_t below) { return random_() % below; }
  static const std::vector<std::string>& keys() {
    static const std::vector<std::string> keys{"t", "coolant_c",
                                               "a key of more than thirty-two characters", "speed"};
    return keys;
  }

 private:
  std::string value() {
    static const std::vector<std::string> odd{"null",
                                              "true",
                                              "-0",
                                              "0",
                                              "1e3",
                                              "-1.5E-2",
                                              "\"\"",
                                              "\"a\"",
                                              "01",
                                              "1.",
                                              ".5",
                                              "-",
                                              "123456789012345",
                                              "1234567890123456",
                                              "1.2.3",
                                              "+1",
                                              "\"\\u00e9\"",
                                              "\"\xC3\xA9\"",
                                              "\"a \\\"}, {\"",
                                              "\"sixteen letters.\"",
                                              "00",
                                              "-01.5",
                                              "12345678.1234567"};
    if (pick(4) == 0) return odd[pick(odd.size())];
    return std::to_string(pick(200)) + "." + std::to_string(pick(100));
  }

  std::mt19937 random_;
};

} // namespace

TEST_CASE("the reader and the library agree on records of all kinds") {
  RecordMaker maker(20260304);
  JsonShape lines;
  for (int round = 0; round < 60; ++round) {
    // The first record holds all keys, so that none comes late.
    std::vector<std::string> records{
        R"({"t":0,"coolant_c":1,"a key of more than thirty-two characters":2,"speed":3,)"
        R"("more":{"in":[],"y":4}})"};
    for (int i = 0; i < 200; ++i) {
      records.push_back(maker.make());
      if (maker.pick(10) == 0) records.back() = maker.damage(records.back());
    }
    std::string text;
    for (const std::string& record : records) text += record + "\n";
    const ReadAll all = read_all(text, lines, 300 + 37 * static_cast<std::size_t>(round));
    std::size_t row = 0;
    for (std::size_t i = 0; i < records.size(); ++i) {
      if (records[i].find_first_not_of(" \t\r") == std::string::npos) continue;
      REQUIRE(row < all.rows.size());
      const ReadRow& read = all.rows[row++];
      CHECK(read.line == i + 1);
      const Parsed whole = parsed(records[i]);
      REQUIRE_MESSAGE(read.fault.empty() == whole.valid, records[i]);
      if (whole.object.is_null()) continue;
      for (std::size_t k = 0; k < RecordMaker::keys().size(); ++k) {
        const auto found = whole.object.find(all.keys[k]);
        const Json value = found == whole.object.end() || found->is_structured() ? Json() : *found;
        CHECK_MESSAGE(same_cell(read.cells[k], value), records[i]);
      }
    }
    CHECK(row == all.rows.size());
  }
}

TEST_CASE("a record damaged anywhere costs no other record of its array") {
  const std::string record = R"({"t":1,"coolant_c":90.5,"note":"ab","in":{"x":[1,2]}})";
  const std::string first = R"({"t":0,"coolant_c":90.5,"note":"ab","in":{"x":[1,2]}})";
  JsonShape array;
  array.kind = JsonShape::Kind::sequence;
  array.in_array = true;
  array.begin = 1;
  std::size_t alone = 0;
  std::size_t damaged = 0;
  for (const std::string& between : {std::string(",\n"), std::string(",")}) {
    for (std::size_t at = 0; at < record.size(); ++at) {
      std::string broken = record;
      broken.erase(at, 1);
      if (Json::accept(broken)) continue;
      std::string text = "[" + first + between + first + between + broken;
      for (int i = 0; i < 3; ++i) text += between + first;
      const ReadAll all = read_all(text + "]", array, 4096);
      std::size_t good = 0;
      for (const ReadRow& row : all.rows) good += row.fault.empty() ? 1U : 0U;
      ++damaged;
      alone += good == 5 && all.rows.size() == 6 ? 1U : 0U;
      CHECK_MESSAGE(good >= 4, text);
      CHECK_MESSAGE(good < all.rows.size(), text);
    }
  }
  CHECK(alone * 10 >= damaged * 9);
}

TEST_CASE("bytes behind the window are never taken for a record") {
  // The last record is the start of one that was in the window before it.
  std::string text;
  for (int i = 0; i < 300; ++i) text += "{\"t\":10,\"coolant_c\":90}\n";
  JsonShape lines;
  for (std::size_t cut = 1; cut < 23; ++cut) {
    const ReadAll all = read_all(text.substr(0, text.size() - cut), lines, 512);
    REQUIRE(all.rows.size() == 300);
    CHECK(all.rows.back().fault == (cut == 1 ? "" : "record cut short"));
  }
}

TEST_CASE("fields that come and go leave no old values behind") {
  JsonShape lines;
  std::string text = "{\"t\":0,\"a\":1,\"b\":2}\n";
  for (int i = 0; i < 50; ++i) {
    text += "{\"t\":1,\"a\":7}\n{\"t\":2,\"b\":8}\n{\"b\":null,\"t\":3}\n{\"t\":4,\"a\":1}}\n"
            "{\"t\":5}\n{\"t\":6,\"a\":\"\\u0041\"}\n{\"t\":7,\"b\":1}\n";
  }
  const ReadAll all = read_all(text, lines, 4096);
  using Cells = std::vector<std::string>;
  for (std::size_t i = 1; i + 6 < all.rows.size(); i += 7) {
    CHECK(all.rows[i].cells == Cells{"1", "7", ""});
    CHECK(all.rows[i + 1].cells == Cells{"2", "", "8"});
    CHECK(all.rows[i + 2].cells == Cells{"3", "", ""});
    CHECK(all.rows[i + 3].fault == "not valid JSON");
    CHECK(all.rows[i + 4].cells == Cells{"5", "", ""});
    CHECK(all.rows[i + 5].cells == Cells{"6", "A", ""});
    CHECK(all.rows[i + 6].cells == Cells{"7", "", "1"});
  }
}
