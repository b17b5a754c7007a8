// SPDX-License-Identifier: Apache-2.0
// Typed fields out of a configuration file, with an error that names the field.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/core/result.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

// What numbers of a band file may be.
inline constexpr Range k_any{-1e9, 1e9};
inline constexpr Range k_positive{0.0, 1e9};
inline constexpr Range k_reading_c{-60.0, 200.0};

/// Deeper than any file of ours: what walks over a document must not run out of stack.
inline constexpr std::size_t k_deepest_json = 100;

/// Parses a whole JSON document. Errors (kind usage) name line and column: not JSON, a number that
/// no double can hold, nested deeper than `k_deepest_json`, a key that stands twice in one object.
Result<nlohmann::ordered_json> parse_json(const std::string& text, const std::string& name);

/// Parses a whole JSON object. Errors (kind usage) name line and column; `what` is what the file
/// should be ("a job card: { ... }").
Result<nlohmann::ordered_json> parse_object(const std::string& text, const std::string& name,
                                            std::string_view what);

/// Parses a whole JSON object whose "schema" must be `schema` ("coolband.band/1"). Errors (kind
/// usage) name line and column, or the schema found.
Result<nlohmann::ordered_json> parse_schema(const std::string& text, const std::string& name,
                                            std::string_view schema);

/// Reads fields of one file and keeps the first complaint, so that callers check once at the end.
class FieldReader {
 public:
  explicit FieldReader(std::string file) : file_(std::move(file)) {}

  /// Absent and null give nothing. A wrong type or a value outside [low, high] is a complaint.
  std::optional<double> number(const nlohmann::ordered_json& object, const std::string& key,
                               Range allowed);
  std::optional<std::string> text(const nlohmann::ordered_json& object, const std::string& key);
  std::optional<Range> range(const nlohmann::ordered_json& object, const std::string& key);

  double required_number(const nlohmann::ordered_json& object, const std::string& key,
                         Range allowed);
  std::string required_text(const nlohmann::ordered_json& object, const std::string& key);

  /// A whole number of things, 0 where it is missing or wrong; no more than `allowed`.
  std::size_t count(const nlohmann::ordered_json& object, const std::string& key);
  std::size_t required_count(const nlohmann::ordered_json& object, const std::string& key,
                             Range allowed = k_positive);

  void complain(const std::string& key, const std::string& what);
  [[nodiscard]] const std::optional<Error>& complaint() const { return complaint_; }

 private:
  std::string file_;
  std::optional<Error> complaint_;
};

} // namespace coolband
