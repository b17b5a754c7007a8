// SPDX-License-Identifier: Apache-2.0
// A window on a byte source: what was read and is not yet used.
#pragma once

#include "import/byte_source.hpp"

#include <cstddef>
#include <memory>
#include <optional>
#include <string_view>

namespace coolband {

inline constexpr std::size_t k_block_bytes = std::size_t{256} * 1024;
/// Enough for the few records that a look at the start of a log needs.
inline constexpr std::size_t k_sample_block_bytes = std::size_t{16} * 1024;
/// Bytes that may be read (not used) past the end of the window, so that a scan can load whole
/// registers.
inline constexpr std::size_t k_padding_bytes = 64;
/// No record of a log is this long; without a limit a wrong file would be read into memory whole.
inline constexpr std::size_t k_record_limit = std::size_t{1024} * 1024;

class InputBuffer {
 public:
  /// Reads up to `block` bytes at a time; less memory is taken for a source known to be small.
  explicit InputBuffer(ByteSource& source, std::size_t block = k_block_bytes);

  /// What is read and not yet consumed. Valid until the next `more`.
  [[nodiscard]] std::string_view unread() const { return {data_.get() + begin_, end_ - begin_}; }
  /// The same, for a reader that undoes quotes in place.
  [[nodiscard]] char* unread_data() { return data_.get() + begin_; }
  /// Reads on. False at the end and on an error; may move the unread bytes.
  bool more();
  void consume(std::size_t count) { begin_ += count; }

  [[nodiscard]] bool ended() const { return ended_; }
  [[nodiscard]] const std::optional<Error>& error() const { return error_; }
  [[nodiscard]] std::size_t size_hint() const { return source_->size_hint(); }

 private:
  void grow();

  ByteSource* source_;
  std::size_t block_;
  std::size_t size_; ///< of the memory, padding included
  /// Not filled beforehand: that would cost a small log as much as reading it.
  std::unique_ptr<char[]> data_;
  std::size_t begin_ = 0;
  std::size_t end_ = 0;
  bool ended_ = false;
  std::optional<Error> error_;
};

} // namespace coolband
