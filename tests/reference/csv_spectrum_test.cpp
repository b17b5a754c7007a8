// SPDX-License-Identifier: Apache-2.0
// The raw CSV reader against the published conformance cases of csv-spectrum 2.0.0 (BSD-2-Clause)
// and their expected JSON.
#include "import/csv_reader.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#ifndef COOLBAND_SHARED_DIR
#ifdef COOLBAND_SOURCE_DIR
#define COOLBAND_SHARED_DIR COOLBAND_SOURCE_DIR "/../shared"
#else
#define COOLBAND_SHARED_DIR "../shared"
#endif
#endif

using namespace coolband;
namespace fs = std::filesystem;

namespace {

std::string bytes_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

std::vector<std::vector<std::string>> rows_of(const std::string& text) {
  MemorySource source(text);
  InputBuffer input(source);
  CsvReader reader(input, ',', "case");
  std::vector<std::vector<std::string>> rows;
  Row row;
  while (reader.next(row)) {
    CHECK(row.fault.empty());
    rows.emplace_back(row.cells.begin(), row.cells.end());
  }
  return rows;
}

/// The published copies of the CRLF cases were stored with LF, so line ends in cells are compared
/// as LF.
std::string with_lf(std::string text) {
  for (auto at = text.find("\r\n"); at != std::string::npos; at = text.find("\r\n"))
    text.erase(at, 1);
  return text;
}

nlohmann::json as_objects(const std::vector<std::vector<std::string>>& rows) {
  auto objects = nlohmann::json::array();
  for (std::size_t i = 1; i < rows.size(); ++i) {
    auto object = nlohmann::json::object();
    for (std::size_t k = 0; k < rows[0].size(); ++k) object[rows[0][k]] = with_lf(rows[i].at(k));
    objects.push_back(object);
  }
  return objects;
}

nlohmann::json expected_from(const fs::path& path) {
  auto expected = nlohmann::json::parse(bytes_of(path));
  for (auto& object : expected) {
    for (auto& value : object) value = with_lf(value.get<std::string>());
  }
  return expected;
}

} // namespace

TEST_CASE("the CSV reader agrees with csv-spectrum") {
  const fs::path folder = fs::path(COOLBAND_SHARED_DIR) / "datasets" / "csv-spectrum";
  if (!fs::exists(folder)) {
    MESSAGE("csv-spectrum is not there: skipped");
    return;
  }
  std::size_t cases = 0;
  for (const auto& entry : fs::directory_iterator(folder / "csvs")) {
    const std::string name = entry.path().stem().string();
    CAPTURE(name);
    const auto rows = rows_of(bytes_of(entry.path()));
    REQUIRE(rows.size() > 1);
    ++cases;
    if (name == "location_coordinates") {
      // Its JSON holds one object with another telephone number and bytes that are no UTF-8: only
      // what agrees with the CSV by design is compared, that quotes inside a cell are kept.
      REQUIRE(rows[1].size() == 4);
      CHECK(rows[1][1].ends_with("17.9\"W"));
      CHECK(rows[1][2] == "Modesto");
      CHECK(rows[1][3] == "Stanislaus");
      continue;
    }
    CHECK(as_objects(rows) == expected_from(folder / "json" / (name + ".json")));
    // The same with CRLF between the lines.
    std::string crlf;
    for (const char c : with_lf(bytes_of(entry.path())))
      crlf += c == '\n' ? std::string("\r\n") : std::string(1, c);
    CHECK(as_objects(rows_of(crlf)) == as_objects(rows));
  }
  CHECK(cases == 12);
}
