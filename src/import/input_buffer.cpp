// SPDX-License-Identifier: Apache-2.0
// Refilling the window; the unread rest is moved to the front only when room is needed.
#include "import/input_buffer.hpp"

#include <cstring>

namespace coolband {

InputBuffer::InputBuffer(ByteSource& source)
    : source_(&source), data_(k_block_bytes + k_padding_bytes) {}

bool InputBuffer::more() {
  if (ended_) return false;
  const std::size_t rest = end_ - begin_;
  if (begin_ > 0 && data_.size() - k_padding_bytes - end_ < k_block_bytes / 2) {
    std::memmove(data_.data(), data_.data() + begin_, rest);
    begin_ = 0;
    end_ = rest;
  }
  if (data_.size() - k_padding_bytes - end_ < k_block_bytes / 2) data_.resize(data_.size() * 2);
  auto got = source_->read(data_.data() + end_, data_.size() - k_padding_bytes - end_);
  if (!got) error_ = got.error();
  if (!got || *got == 0) {
    ended_ = true;
    return false;
  }
  end_ += *got;
  return true;
}

} // namespace coolband
