// SPDX-License-Identifier: Apache-2.0
// Comparing what was read with what is read again.
#include "fuzz/file_properties.hpp"

#include "coolband/band/band_file.hpp"
#include "fuzz/properties.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband::testing {

namespace {

bool near(double a, double b) {
  return std::abs(a - b) <= 1e-9 * std::max({1.0, std::abs(a), std::abs(b)});
}

std::string_view line_of(std::string_view text, std::size_t number) {
  for (std::size_t line = 1; line < number; ++line)
    text.remove_prefix(std::min(text.find('\n') + 1, text.size()));
  return text.substr(0, text.find('\n'));
}

} // namespace

void Told::number(const std::optional<double>& value) {
  numbers_.push_back(value.value_or(-12345.0));
}

void Told::require_finite() const {
  require(std::all_of(numbers_.begin(), numbers_.end(), [](double n) { return std::isfinite(n); }),
          "numbers are finite");
}

void Told::require_same(const Told& other, const std::string& how) const {
  require(words_ == other.words_, "the same words " + how);
  require(numbers_.size() == other.numbers_.size(), "as many numbers " + how);
  for (std::size_t i = 0; i < numbers_.size(); ++i) {
    require(near(numbers_[i], other.numbers_[i]), fmt::format("the same number {} {}: {} and {}", i,
                                                              how, numbers_[i], other.numbers_[i]));
  }
}

void check_file_error(const Error& error, std::string_view text, const std::string& name) {
  check_error(error);
  const Origin& origin = error.origin;
  require(origin.file == name, "an error names the file: " + error.message);
  require(!error.remedy.empty(), "an error has a remedy: " + error.message);
  const bool field = error.message.find('"') != std::string::npos;
  require(field || origin.line > 0, "an error has a place: " + error.message);
  if (origin.line == 0) return;
  const auto lines = static_cast<std::size_t>(1 + std::count(text.begin(), text.end(), '\n'));
  require(origin.line <= lines, "the line is in the file: " + error.message);
  const std::string_view line = line_of(text, origin.line);
  require(origin.column >= 1 && origin.column <= line.size() + 1,
          "the column is in the line: " + error.message);
  require(error.excerpt.empty() || error.excerpt == line, "the line is quoted: " + error.message);
}

std::optional<std::string> respaced(std::string_view json) {
  const auto parsed = nlohmann::ordered_json::parse(json, nullptr, false);
  if (parsed.is_discarded()) return std::nullopt;
  return "\r\n " + parsed.dump(3, '\t') + "\n\n";
}

std::string check_band_file(const NormalBand& band) {
  const std::string written = write_band(band);
  const auto again = parse_band(written, "written");
  require(again.ok(), "a band that is written can be read: " +
                          (again ? std::string() : describe(again.error())));
  require(write_band(*again) == written, "a band that is read is written the same");
  return written;
}

} // namespace coolband::testing
