// SPDX-License-Identifier: Apache-2.0
// Several results as one output: pages of text, one JSON value, or JSON lines.
#pragma once

#include "cli/options.hpp"

#include <string>
#include <vector>

namespace coolband::cli {

class Rendered {
 public:
  explicit Rendered(std::string format) : format_(std::move(format)) {}

  /// Indentation for a JSON renderer: 2 for "json", none for "jsonl".
  [[nodiscard]] int indent() const { return format_ == "json" ? 2 : -1; }
  void add(std::string part) { parts_.push_back(std::move(part)); }

  /// Writes all parts to the output. Returns `code`, or the code of an output that failed. Where
  /// there is no part at all, nothing is written and no file is made.
  [[nodiscard]] int write(const OutputOptions& options, int code) const;

 private:
  [[nodiscard]] std::string joined() const;

  std::string format_;
  std::vector<std::string> parts_;
};

/// Complains and gives the exit code for the error.
int fail(const Error& error);

} // namespace coolband::cli
