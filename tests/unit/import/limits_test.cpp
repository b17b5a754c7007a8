// SPDX-License-Identifier: Apache-2.0
// Bytes that no log should have, and sizes that no log should be: a clear error or a counted row.
#include "import/import_source.hpp"
#include "unit/import/byte_sources.hpp"

#include <cstdint>

using namespace coolband;
using namespace coolband::test;

namespace {

std::string rows(std::size_t count, std::string_view tail = "") {
  std::string text = "time_s,coolant_c,note\n";
  for (std::size_t i = 0; i < count; ++i) (text += std::to_string(i) + ",90.5,x") += '\n';
  return text += tail;
}

/// `start`, then `again` without end.
class EndlessSource : public ByteSource {
 public:
  EndlessSource(std::string start, std::string again)
      : text_(std::move(start)), again_(std::move(again)) {}
  Result<std::size_t> read(char* into, std::size_t size) override {
    while (text_.size() < size) text_ += again_;
    text_.copy(into, size);
    text_.erase(0, size);
    given_ += size;
    return size;
  }
  [[nodiscard]] std::size_t given() const { return given_; }

 private:
  std::string text_;
  std::string again_;
  std::size_t given_ = 0;
};

std::string wide_table(std::size_t columns, std::size_t count) {
  std::string text = "time_s,coolant_c";
  for (std::size_t i = 2; i < columns; ++i) text += ",x" + std::to_string(i);
  for (std::size_t row = 0; row < count; ++row) {
    text += "\n" + std::to_string(row) + ",90.5";
    for (std::size_t i = 2; i < columns; ++i) text += ",1";
  }
  return text + "\n";
}

std::string wide_record(std::size_t columns, std::size_t row) {
  std::string text =
      "{\"time_s\":" + std::to_string(row) + ",\"coolant_c\":9" + std::to_string(row % 10);
  for (std::size_t i = 2; i < columns; ++i) text += ",\"x" + std::to_string(i) + "\":1";
  return text + "}";
}

} // namespace

TEST_CASE("a zero byte costs its row, near the start and far from it") {
  for (const std::size_t row : {std::size_t{3}, std::size_t{50}, std::size_t{30000}}) {
    for (const std::size_t place : {0U, 2U}) {
      std::string text = rows(40000);
      std::size_t at = text.find("\n" + std::to_string(row) + ",");
      at = place == 0 ? at + 1 : text.find('.', at);
      text[at] = '\0';
      const Recording log = read(text);
      CHECK(log.size() == 39999);
      CHECK(listed(log.how.set_aside) ==
            std::string(place == 0 ? "time not readable" : "coolant is not a number") + " x1 @" +
                std::to_string(row + 1) + ":" + std::to_string(row + 2));
    }
  }
}

TEST_CASE("the zeros that a lost supply leaves at the end of a file cost one row") {
  for (const std::size_t count : {std::size_t{20}, std::size_t{20000}}) {
    const Recording log = read(rows(count, std::string(5000, '\0')));
    CHECK(log.size() == count);
    CHECK(log.how.set_aside.size() == 1);
    CHECK(log.how.set_aside[0].count == 1);
  }
}

TEST_CASE("a zero byte in a JSON record costs the record") {
  std::string text;
  for (int i = 0; i < 200; ++i)
    text += "{\"time_s\":" + std::to_string(i) + ",\"coolant_c\":90.5}\n";
  text[text.find("{\"time_s\":150") + 4] = '\0';
  const Recording log = read(text);
  CHECK(log.size() == 199);
  CHECK(listed(log.how.set_aside) == "not valid JSON x1 @151:151");
}

TEST_CASE("binary data is refused, not read as far as it goes") {
  std::uint32_t state = 3;
  for (const std::size_t size : {std::size_t{300}, std::size_t{70000}, std::size_t{2000000}}) {
    std::string bytes;
    for (std::size_t i = 0; i < size; ++i) {
      state = state * 1664525U + 1013904223U;
      bytes += static_cast<char>(state >> 24);
    }
    bytes[1] = '\0';
    CHECK(
        refusal(bytes) ==
        "log: this is binary data, not a log in text\n  name a log in CSV or JSON, or export this "
        "one as CSV with what recorded it");
  }
  // Zeros all over, though the first lines have none.
  std::string text = rows(20);
  for (std::size_t at = 0; (at = text.find("0.5", at)) != std::string::npos;) text[at] = '\0';
  CHECK(refusal(text).find("log: this is binary data") == 0);
}

TEST_CASE("a line without end is an error within bounds, wherever it begins") {
  const std::pair<std::string, std::string> cases[] = {
      {"", "y"},
      {"", "time_s,coolant_c,"},
      {"", "\""},
      {"", "{\"time_s\":"},
      {rows(10), "5"},
      {rows(10), "1,"},
      {rows(10) + "\"", "\"\""},
      {rows(10) + "#", "#"},
      {rows(10000), "7"},
      {"{\"time_s\":1,\"coolant_c\":90}\n{\"time_s\":2,\"coolant_c\":90}\n", "{\"a\":"},
      {"[{\"time_s\":1,\"coolant_c\":90},{\"time_s\":2,\"coolant_c\":90},", "{\"a\":"},
      {"[{\"time_s\":1,\"coolant_c\":90},{\"time_s\":2,\"coolant_c\":90},", "x"},
  };
  for (const auto& [start, again] : cases) {
    EndlessSource source(start, again);
    const auto log = import_source(source, "log", {});
    REQUIRE_FALSE(log.ok());
    CHECK(log.error().kind == ErrorKind::input);
    CHECK(source.given() < std::size_t{8} * 1024 * 1024);
  }
  EndlessSource source(rows(10), "5");
  CHECK(describe(import_source(source, "log", {}).error()) ==
        "log:12: a record of this log is longer than 1 MiB\n  check that this is a log of text "
        "lines");
}

TEST_CASE("ten thousand columns are read, in each kind of log") {
  const std::size_t columns = 10000;
  const Recording csv = read(wide_table(columns, 30));
  CHECK(csv.size() == 30);
  CHECK(csv.how.ignored.size() == columns - 2);
  std::string lines;
  std::string array = "[";
  for (std::size_t row = 0; row < 30; ++row) {
    lines += wide_record(columns, row) + "\n";
    array += wide_record(columns, row) + (row < 29 ? "," : "]");
  }
  for (const std::string& text : {lines, array}) {
    const Recording json = read(text);
    CHECK(json.size() == 30);
    CHECK(json.column(Role::coolant)[29] == 99.0F);
    CHECK(json.how.ignored.size() == columns - 2);
  }
}

TEST_CASE("numbers too large for anything are counted or kept finite") {
  const std::string nines(400, '9');
  const std::string text = rows(50) + "50," + nines + ",x\n51,1e999,x\n" + nines +
                           ",90,x\n1e999,90,x\n52,-1e308,x\n53,1e39,x\n54,90,x\n";
  const Recording log = read(text);
  CHECK(log.how.rows == 57);
  for (const double time_s : log.time_s) CHECK(std::isfinite(time_s));
  for (const float coolant : log.column(Role::coolant)) CHECK_FALSE(std::isinf(coolant));
  std::size_t aside = 0;
  for (const SetAside& entry : log.how.set_aside) aside += entry.count;
  CHECK(log.size() + aside == 57);
  CHECK(aside == 6);
}

TEST_CASE("a gzip bomb of blank lines or of one long line takes no memory and ends") {
  CHECK(refusal(gzip_of(std::string(6000000, '\n'), 9)).find("1 MiB of blanks") !=
        std::string::npos);
  CHECK(refusal(gzip_of(std::string(6000000, 'a'), 9)).find("log:1: this is not a table") == 0);
  CHECK(refusal(gzip_of(rows(10) + std::string(6000000, '1'), 9))
            .find("log:12: a record of this log is longer than 1 MiB") == 0);
}

TEST_CASE("no value of a recording is infinite, whatever its unit and the shape of the log") {
  std::string shared;
  for (int i = 0; i < 20; ++i) {
    const std::string time = std::to_string(i);
    shared += time + ",coolant,80,degC\n" + time + ".5,load,20,%\n";
  }
  const std::string texts[] = {
      "time,name,value,unit\n" + shared + "21,coolant,1e300,degC\n21.5,load,-1e39,%\n",
      "time,coolant,rpm [1/s],speed [m/s]\n0,80,1e38,1e37\n1,81,3e38,3e38\n2,81,1,1\n"};
  for (const std::string& text : texts) {
    const Recording log = read(text);
    for (const Column& column : log.values)
      for (const float value : column) CHECK_FALSE(std::isinf(value));
    std::size_t counted = 0;
    for (const SetAside& cell : log.how.missing_cells) {
      if (cell.reason.find("is not a number") != std::string::npos) counted += cell.count;
    }
    CHECK(counted == (log.how.shape == "wide" ? 4 : 2));
  }
}

TEST_CASE("blanks before the headings are passed over, and a log of nothing else is refused") {
  const std::string log = "time,coolant\n0,80\n1,81\n2,82\n";
  const auto passes_over = [&](const std::string& blanks) {
    CHECK(read(blanks + log).size() == 3);
    CHECK(read(blanks + "[{\"time\":0,\"coolant\":80},{\"time\":1,\"coolant\":81}]").size() == 2);
  };
  passes_over(std::string(70000, '\n'));
  passes_over(std::string(70000, ' ') + "\n");
  passes_over(std::string(300000, '\n'));
  CHECK(refusal(std::string(70000, '\n')).find("the log is empty") != std::string::npos);
  CHECK(refusal(std::string(1100000, '\n') + log).find("1 MiB of blanks") != std::string::npos);
}

TEST_CASE("signals count their time from the first row that is kept") {
  std::string text = "time,name,value\n7,nothing of use,1\n";
  for (int i = 10; i < 20; ++i) text += std::to_string(i) + ",coolant,80\n";
  const Recording log = read(text);
  CHECK(log.time_s[0] == 0.0);
  CHECK(log.time_s[9] == 9.0);
  CHECK(log.clock.start_s == 10.0);
}
