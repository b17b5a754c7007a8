// SPDX-License-Identifier: Apache-2.0
// One JSON object taken apart into names and cells.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coolband {

/// Names and cell texts of an object. Nested objects are flattened ("engine.coolant"); null is an
/// empty cell; an array inside a record gives no cell. Texts stay valid until the next `parse`.
class JsonRecord {
 public:
  struct Field {
    std::string_view name;
    std::string_view text;
  };

  /// False if `text` is not one JSON object.
  bool parse(std::string_view text);
  [[nodiscard]] const std::vector<Field>& fields() const { return fields_; }

 private:
  bool parse_flat(std::string_view text);
  bool parse_any(std::string_view text);

  std::vector<Field> fields_;
  std::string arena_;
};

} // namespace coolband
