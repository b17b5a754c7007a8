// SPDX-License-Identifier: Apache-2.0
// The arrays of a JSON text that may hold a log, and what stands beside them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

struct JsonArray {
  enum class Kind { empty, objects, rows, strings, scalars };
  Kind kind = Kind::empty;
  std::vector<std::string> path; ///< keys of the objects around it
  std::size_t begin = 0;         ///< the byte behind its opening bracket
  std::size_t elements = 0;
  std::size_t width = 0;          ///< of the first row, once it has ended
  std::vector<std::string> first; ///< keys of the first object, cells of the first row
  std::vector<std::string> names; ///< of strings: the strings; of objects: each one's "name"
  std::vector<std::string> units; ///< of objects: each one's "unit"
};

struct JsonOutline {
  std::vector<JsonArray> arrays;   ///< those that stand in no other array
  std::vector<std::string> beside; ///< every member of the objects around, with its path
  std::size_t end = 0;             ///< behind the first value; 0 if it does not end in the text
  bool valid = true;               ///< false if it breaks off before the end of the text
};

/// "data.rows"
std::string json_path(const std::vector<std::string>& path);

/// Looks at the first value in `text`, which may be cut off.
JsonOutline outline_json(std::string_view text);

} // namespace coolband
