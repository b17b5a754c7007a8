// SPDX-License-Identifier: Apache-2.0
// How the records of a JSON log are laid out, and where the first one begins.
#pragma once

#include "coolband/core/result.hpp"
#include "import/input_buffer.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

struct JsonShape {
  enum class Kind {
    lines,    ///< a record a line
    sequence, ///< records between commas or blanks, mostly inside an array
    columns,  ///< an object of arrays, one array a column
  };
  Kind kind = Kind::lines;
  bool rows = false;                 ///< records are arrays of cells; else objects
  bool in_array = false;             ///< of a sequence: it ends with its array
  bool wrapped = false;              ///< the array stands inside an object
  bool rest_known = true;            ///< what stands behind the array is already told in `notes`
  std::size_t begin = 0;             ///< bytes before the first record
  std::vector<std::string> headings; ///< of rows, when they stand beside the array
  std::vector<std::string> units;    ///< the same, or empty
  std::vector<std::string> notes;

  [[nodiscard]] char opener() const { return rows ? '[' : '{'; }
  [[nodiscard]] std::string format() const;
};

/// True if a text that begins with a bracket is JSON rather than a row of headings in brackets.
bool looks_like_json(std::string_view text);

/// Looks at what is read of `input`, and reads on only where that does not tell: no records yet, or
/// rows whose headings may stand behind them. Errors (kind input): JSON without records.
Result<JsonShape> find_json_shape(InputBuffer& input, const std::string& name);

} // namespace coolband
