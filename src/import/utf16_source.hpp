// SPDX-License-Identifier: Apache-2.0
// UTF-16 turned into UTF-8 while it is read.
#pragma once

#include "import/byte_source.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

enum class ByteOrder { little, big };

/// A byte order mark comes out as that of UTF-8. Half a surrogate pair and an odd last byte come
/// out as U+FFFD, and are counted.
class Utf16Source : public ByteSource {
 public:
  /// `wide` stays the caller's; its errors are handed on as they are.
  Utf16Source(ByteSource& wide, ByteOrder order);

  Result<std::size_t> read(char* into, std::size_t size) override;

  [[nodiscard]] ByteOrder order() const { return order_; }
  /// Characters that were damaged, as far as the text was read.
  [[nodiscard]] std::size_t damaged() const { return damaged_; }

 private:
  std::optional<Error> refill();
  void take(std::size_t size);
  void take_unit(char32_t unit);
  void take_end();
  void put_damaged();

  ByteSource* wide_;
  ByteOrder order_;
  std::vector<char> input_;
  bool odd_ = false;  ///< the last byte of the block before is at the start of `input_`
  char32_t high_ = 0; ///< the first half of a surrogate pair that waits for its second; else 0
  std::string text_;  ///< ready to be handed out, from `handed_` on
  std::size_t handed_ = 0;
  std::size_t damaged_ = 0;
  bool ended_ = false;
};

} // namespace coolband
