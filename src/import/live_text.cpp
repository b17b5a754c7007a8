// SPDX-License-Identifier: Apache-2.0
// Lines by their ends; rows go from the front in one stroke.
#include "import/live_text.hpp"

#include <algorithm>

namespace coolband {

bool LiveText::take_line() {
  const std::size_t end = arrived_.find('\n', taken_);
  if (end == std::string::npos) {
    arrived_.erase(0, taken_);
    taken_ = 0;
    return false;
  }
  last_at_ = text_.size();
  text_.append(arrived_, taken_, end + 1 - taken_);
  taken_ = end + 1;
  ++lines_;
  return true;
}

void LiveText::end_line() {
  if (unfinished() > 0) arrived_ += '\n';
}

bool LiveText::tear_line() {
  const bool any = unfinished() > 0;
  arrived_.clear();
  taken_ = 0;
  return any;
}

std::size_t LiveText::offset_of(std::size_t line) const {
  std::size_t offset = 0;
  for (std::size_t n = 1; n < line && offset < text_.size(); ++n)
    offset = std::min(text_.find('\n', offset), text_.size() - 1) + 1;
  return offset;
}

void LiveText::set_head(std::size_t lines) {
  head_lines_ = std::min(lines, lines_);
  head_bytes_ = offset_of(head_lines_ + 1);
}

void LiveText::drop_before(std::size_t line) {
  line = std::min(line, lines_ + 1);
  if (line <= head_lines_ + 1) return;
  text_.erase(head_bytes_, offset_of(line) - head_bytes_);
  last_at_ = text_.size();
  lines_ -= line - 1 - head_lines_;
}

void LiveText::restart_at(std::size_t line) {
  line = std::clamp<std::size_t>(line, 1, lines_ + 1);
  text_.erase(0, offset_of(line));
  last_at_ = text_.size();
  lines_ -= line - 1;
  head_lines_ = 0;
  head_bytes_ = 0;
}

std::string LiveText::tail(std::size_t rows) const {
  std::size_t from = text_.size();
  for (std::size_t i = 0; i < rows && from > head_bytes_; ++i) {
    const std::size_t before = from < 2 ? std::string::npos : text_.rfind('\n', from - 2);
    from = before == std::string::npos ? 0 : before + 1;
  }
  std::string tail = text_.substr(0, head_bytes_);
  return tail.append(text_, std::max(from, head_bytes_), std::string::npos);
}

} // namespace coolband
