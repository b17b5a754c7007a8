// SPDX-License-Identifier: Apache-2.0
// Several results as one output: pages of text, one JSON value, or JSON lines.
#include "cli/rendered.hpp"

#include "cli/console.hpp"
#include "cli/exit_code.hpp"
#include "cli/output.hpp"

namespace coolband::cli {

namespace {

std::string join(const std::vector<std::string>& parts, const std::string& between) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) text += (i == 0 ? "" : between) + parts[i];
  return text;
}

} // namespace

std::string Rendered::joined() const {
  if (format_ == "text") return join(parts_, "\n" + std::string(80, '-') + "\n\n");
  if (format_ == "jsonl") return join(parts_, "\n") + "\n";
  if (format_ == "html") return join(parts_, ""); // a page ends with a newline of its own
  if (parts_.size() == 1) return parts_.front() + "\n";
  return "[\n" + join(parts_, ",\n") + "\n]\n";
}

int Rendered::write(const OutputOptions& options, int code) const {
  if (parts_.empty()) return code;
  if (const auto error = write_output(options.output, joined(), options.overwrite))
    return fail(*error);
  return code;
}

int fail(const Error& error) {
  complain(error);
  return exit_code_of(error.kind);
}

} // namespace coolband::cli
