// SPDX-License-Identifier: Apache-2.0
// Where each record of a JSON log begins and ends, found without parsing it.
#pragma once

#include "coolband/core/error.hpp"
#include "import/input_buffer.hpp"
#include "import/json_shape.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// A record that is damaged is handed on with that said, and the next one is looked for behind it.
class JsonScan {
 public:
  struct Record {
    std::string_view text;
    std::string_view whole; ///< with blanks before it and its line end, where a line is a record
    std::size_t line = 0;
    std::string_view fault;
    bool unended = false; ///< the last line, without a line end
  };

  JsonScan(InputBuffer& input, const JsonShape& shape, std::string name);

  /// Lets go of the last record and passes over what stands before the next one, as far as it is
  /// read. What `ahead` then gives begins with a record, if any; empty behind the last one.
  void step();
  [[nodiscard]] std::string_view ahead() const {
    return closed_ ? std::string_view() : input_->unread();
  }
  /// Takes `size` bytes, in which `lines` lines end, as the record ahead.
  void take(std::size_t size, std::size_t lines) {
    used_ = size;
    used_lines_ = lines;
    const std::size_t wanted = any_ && shape_.in_array ? 1 : 0;
    odd_commas_ += commas_ != wanted && !after_fault_ ? 1U : 0U;
    commas_ = 0;
    any_ = true;
    after_fault_ = false;
  }

  /// The record ahead, after `step`; reads on as needed. False at the end or on an error.
  bool next(Record& record);

  [[nodiscard]] std::size_t line() const { return line_; }
  [[nodiscard]] const std::optional<Error>& error() const { return error_; }
  /// What of the text around the records is not as it should be.
  [[nodiscard]] std::vector<std::string> notes() const;

 private:
  bool next_line(Record& record);
  bool next_in_sequence(Record& record);
  bool skip_to_record();
  void skip_separators();
  void close();
  void look_behind();
  void take_junk(Record& record);
  bool take_broken(Record& record, std::size_t limit);
  bool load();
  bool too_long();
  void consume(std::size_t size);
  void take_counted(std::size_t size);

  InputBuffer* input_;
  JsonShape shape_;
  std::string name_;
  char opener_;
  bool by_line_;
  std::size_t line_ = 1;
  std::size_t used_ = 0; ///< bytes of the last record, to be consumed by the next step
  std::size_t used_lines_ = 0;
  std::size_t commas_ = 0; ///< since the last record
  std::size_t odd_commas_ = 0;
  std::size_t arrays_ = 1;
  bool any_ = false;         ///< a record was seen in this array
  bool after_fault_ = false; ///< its comma may be lost with it
  bool closed_ = false;
  bool cut_ = false;
  bool left_behind_ = false; ///< something stands behind the array
  std::optional<Error> error_;
};

} // namespace coolband
