// SPDX-License-Identifier: Apache-2.0
// How a table holds its signals: a column each, a row each, or raw frames to be decoded.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/import/import_log.hpp"
#include "import/frame_decoder.hpp"
#include "import/table_head.hpp"

#include <cstddef>
#include <optional>
#include <string>

namespace coolband {

enum class TableShape {
  wide,       ///< a column for each signal, a row for each time
  sparse,     ///< the same, but each row holds one signal at its own time
  long_table, ///< name and value of one signal in each row
  frames,     ///< bytes of one message in each row
};

/// Where the parts of a row stand; for the wide shapes nothing is filled in but `shape`.
struct ShapePlan {
  TableShape shape = TableShape::wide;
  std::size_t time = 0;
  std::optional<std::size_t> date;
  std::optional<std::size_t> signal;
  std::optional<std::size_t> value;
  std::optional<std::size_t> unit;
  std::optional<std::size_t> identifier;
  std::optional<std::size_t> frame;
  FrameStandard standard = FrameStandard::j1979;
};

/// In words, for `HowRead::shape`.
std::string words_for(const ShapePlan& plan);

/// A column that means coolant makes the table wide. Else a signal and a value column make it long
/// when at least one name of the sample is known or chosen by the user, and a column whose cells
/// are frames makes it frames. Whatever the user chose (`--column signal=...`, `frame=...`) comes
/// first. Errors (kind usage or input): a chosen column is not there; a value column is missing.
Result<ShapePlan> find_shape(const TableHead& head, const ImportOptions& options);

} // namespace coolband
