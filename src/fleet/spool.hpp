// SPDX-License-Identifier: Apache-2.0
// Text that is put aside: in memory while it is short, else in a file without a name.
#pragma once

#include "fleet/small_file.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace coolband {

/// Takes text piece by piece; an error ends the copying.
using TextSink = std::function<std::optional<Error>(std::string_view)>;

/// Copies `length` bytes of an open file from `offset` on. Error (kind input) where they are not
/// there.
std::optional<Error> copy_range(int file, std::size_t offset, std::size_t length,
                                const TextSink& sink);

class Spool {
 public:
  static constexpr std::size_t k_most_in_memory = std::size_t{256} * 1024;

  /// `folder` is where the file goes (TMPDIR or /tmp where it is empty).
  explicit Spool(std::string folder = {}) : folder_(std::move(folder)) {}

  std::optional<Error> add(std::string_view text);
  [[nodiscard]] std::size_t size() const { return in_file_ + text_.size(); }
  std::optional<Error> copy(std::size_t offset, std::size_t length, const TextSink& sink) const;
  std::optional<Error> copy_all(const TextSink& sink) const { return copy(0, size(), sink); }
  void clear();

 private:
  std::optional<Error> move_to_file();

  std::string folder_;
  std::string text_; ///< behind what is in the file
  OwnedFile file_;
  std::size_t in_file_ = 0;
};

} // namespace coolband
