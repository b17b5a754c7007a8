// SPDX-License-Identifier: Apache-2.0
// Refilling the window; the unread rest is moved to the front only when room is needed.
#include "import/input_buffer.hpp"

#include <algorithm>
#include <cstring>
#include <utility>

namespace coolband {

namespace {

/// One byte more than the source has, so that its end is found without growing.
std::size_t block_for(const ByteSource& source, std::size_t block) {
  const std::size_t hint = source.size_hint();
  return hint == 0 ? block : std::min(block, std::max<std::size_t>(hint + 1, 4096));
}

} // namespace

InputBuffer::InputBuffer(ByteSource& source, std::size_t block)
    : source_(&source), block_(block_for(source, block)), size_(block_ + k_padding_bytes),
      data_(std::make_unique_for_overwrite<char[]>(size_)) {
  std::memset(data_.get(), 0, k_padding_bytes);
}

void InputBuffer::grow() {
  auto larger = std::make_unique_for_overwrite<char[]>(size_ * 2);
  std::memcpy(larger.get(), data_.get(), end_);
  data_ = std::move(larger);
  size_ *= 2;
}

bool InputBuffer::more() {
  if (ended_) return false;
  const auto room = [&] { return size_ - k_padding_bytes - end_; };
  if (begin_ > 0 && room() < block_ / 2) {
    std::memmove(data_.get(), data_.get() + begin_, end_ - begin_);
    end_ -= begin_;
    begin_ = 0;
  }
  if (room() == 0) grow();
  auto got = source_->read(data_.get() + end_, room());
  if (!got) error_ = got.error();
  if (!got || *got == 0) {
    ended_ = true;
    return false;
  }
  end_ += *got;
  std::memset(data_.get() + end_, 0, k_padding_bytes);
  return true;
}

} // namespace coolband
