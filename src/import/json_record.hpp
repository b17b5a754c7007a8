// SPDX-License-Identifier: Apache-2.0
// One JSON object or array taken apart into names and cells.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// Deeper nesting is refused, as RFC 8259 section 9 allows; no log needs it.
inline constexpr std::size_t k_json_depth = 32;

/// Names and cell texts of one record. Nested objects are flattened ("engine.coolant"); null is an
/// empty cell; an array inside an object gives no cell. The cells of an array have no names, and a
/// nested value among them is an empty cell. Texts stay valid until the next `parse`.
class JsonRecord {
 public:
  struct Field {
    std::string_view name;
    std::string_view text;
    std::string_view raw; ///< the value as it stands in the record, quotes and all; if `is_flat`
  };

  /// Empty, or why `text` is no record: "not valid JSON" or "nested too deeply".
  std::string_view parse(std::string_view text);
  [[nodiscard]] const std::vector<Field>& fields() const { return fields_; }
  /// Told by the short road: nothing nested, no escapes.
  [[nodiscard]] bool is_flat() const { return flat_; }
  /// How many bare NaN and Infinity the last record had; no JSON, but read as missing.
  [[nodiscard]] std::size_t words() const { return words_; }

 private:
  std::string_view parse_any(std::string_view text);

  std::vector<Field> fields_;
  std::string arena_;
  std::string mended_;
  bool flat_ = false;
  std::size_t words_ = 0;
};

} // namespace coolband
