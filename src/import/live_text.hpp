// SPDX-License-Identifier: Apache-2.0
// The text of a log that is still being written: its head, and as many whole rows as are wanted.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace coolband {

/// Bytes go in as they come, in pieces of any size; lines come out whole. What is kept is a text
/// that the import reads as it would read a file: the head, then rows. Lines end with LF or CRLF.
class LiveText {
 public:
  void append(std::string_view bytes) { arrived_ += bytes; }
  /// Adds the next whole line to the text; false when none has arrived.
  bool take_line();
  /// Makes a line of what has arrived of the last one, as at the end of a file.
  void end_line();
  /// Lets go of what has arrived of a line that will never be whole. True when there was any.
  bool tear_line();
  /// Bytes of the line that is not whole yet.
  [[nodiscard]] std::size_t unfinished() const { return arrived_.size() - taken_; }

  [[nodiscard]] std::string_view text() const { return text_; }
  [[nodiscard]] std::size_t lines() const { return lines_; }
  /// The line that was taken last, with its end.
  [[nodiscard]] std::string_view last_line() const { return text().substr(last_at_); }
  /// All that stands before this line (counted from 1).
  [[nodiscard]] std::string_view before(std::size_t line) const {
    return text().substr(0, offset_of(line));
  }
  [[nodiscard]] std::size_t head_lines() const { return head_lines_; }
  /// Of the text as it is, the first `lines` are the head and stay.
  void set_head(std::size_t lines);
  /// Lets go of the rows before this line of the text (counted from 1).
  void drop_before(std::size_t line);
  /// Another log begins at this line: everything before it goes, the head too.
  void restart_at(std::size_t line);
  /// The head and the last `rows` lines behind it.
  [[nodiscard]] std::string tail(std::size_t rows) const;

 private:
  [[nodiscard]] std::size_t offset_of(std::size_t line) const;

  std::string arrived_; ///< bytes, the first `taken_` of which are in the text
  std::size_t taken_ = 0;
  std::string text_;
  std::size_t last_at_ = 0; ///< where the last line begins
  std::size_t lines_ = 0;
  std::size_t head_lines_ = 0;
  std::size_t head_bytes_ = 0;
};

} // namespace coolband
