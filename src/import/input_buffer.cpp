// SPDX-License-Identifier: Apache-2.0
// Refilling the window; the unread rest is moved to the front only when room is needed.
#include "import/input_buffer.hpp"

#include <algorithm>
#include <cstring>

namespace coolband {

namespace {

/// One byte more than the source has, so that its end is found without growing.
std::size_t block_for(const ByteSource& source, std::size_t block) {
  const std::size_t hint = source.size_hint();
  return hint == 0 ? block : std::min(block, std::max<std::size_t>(hint + 1, 4096));
}

} // namespace

InputBuffer::InputBuffer(ByteSource& source, std::size_t block)
    : source_(&source), block_(block_for(source, block)), data_(block_ + k_padding_bytes) {}

bool InputBuffer::more() {
  if (ended_) return false;
  const auto room = [&] { return data_.size() - k_padding_bytes - end_; };
  if (begin_ > 0 && room() < block_ / 2) {
    std::memmove(data_.data(), data_.data() + begin_, end_ - begin_);
    end_ -= begin_;
    begin_ = 0;
  }
  if (room() == 0) data_.resize(data_.size() * 2);
  auto got = source_->read(data_.data() + end_, room());
  if (!got) error_ = got.error();
  if (!got || *got == 0) {
    ended_ = true;
    return false;
  }
  end_ += *got;
  return true;
}

} // namespace coolband
