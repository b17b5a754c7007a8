// SPDX-License-Identifier: Apache-2.0
// Lines to standard output or a file, each written at once.
#pragma once

#include "coolband/core/error.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace coolband::cli {

/// Unlike other outputs a file grows line by line: it is there for others to follow.
class LineOutput {
 public:
  LineOutput() = default;
  LineOutput(const LineOutput&) = delete;
  LineOutput& operator=(const LineOutput&) = delete;
  ~LineOutput();

  /// "-" is standard output. An existing file is replaced with `overwrite`, else refused.
  std::optional<Error> open(const std::string& path, bool overwrite);
  /// Whole and at once, so that whoever reads along never sees half a line.
  std::optional<Error> write(std::string_view line) const;

 private:
  std::string path_ = "-";
  int file_ = -1;
};

} // namespace coolband::cli
