// SPDX-License-Identifier: Apache-2.0
// Sources that behave badly, logs in other encodings and packings, and all that came of an import.
#pragma once

#include "import/byte_source.hpp"
#include "unit/import/import_helpers.hpp"

#include <limits>
#include <string>
#include <string_view>

#include <zlib.h>

namespace coolband::test {

/// Hands out 1 to `most` bytes at a time, in a fixed pattern.
class DripSource : public ByteSource {
 public:
  DripSource(std::string_view bytes, std::size_t most) : inner_(bytes), most_(most) {}
  Result<std::size_t> read(char* into, std::size_t size) override {
    step_ = step_ % most_ + 1;
    return inner_.read(into, std::min(size, step_));
  }

 private:
  MemorySource inner_;
  std::size_t most_;
  std::size_t step_ = 0;
};

/// Hands out the bytes before `border`, then (or fails) those behind it.
class SplitSource : public ByteSource {
 public:
  SplitSource(std::string_view bytes, std::size_t border, bool fails = false)
      : first_(bytes.substr(0, border)), rest_(bytes.substr(border)), fails_(fails) {}
  Result<std::size_t> read(char* into, std::size_t size) override {
    const auto got = first_.read(into, size);
    if (*got > 0) return got;
    if (fails_) return Error{ErrorKind::input, {"pipe", 0, 0}, "cannot be read: broken", {}, {}};
    return rest_.read(into, size);
  }

 private:
  MemorySource first_;
  MemorySource rest_;
  bool fails_;
};

/// All that a source gives, read `block` bytes at a time; stops at an error.
inline std::string all_of(ByteSource& source, std::size_t block = 4096) {
  std::string text;
  std::string piece(block, '\0');
  for (;;) {
    const auto got = source.read(piece.data(), piece.size());
    if (!got || *got == 0) return text;
    text.append(piece, 0, *got);
  }
}

inline std::string gzip_of(std::string_view text, int level = 6) {
  z_stream stream{};
  REQUIRE(deflateInit2(&stream, level, Z_DEFLATED, MAX_WBITS + 16, 8, Z_DEFAULT_STRATEGY) == Z_OK);
  std::string packed(deflateBound(&stream, static_cast<uLong>(text.size())), '\0');
  std::string given(text);
  stream.next_in = reinterpret_cast<Bytef*>(given.data());
  stream.avail_in = static_cast<uInt>(given.size());
  stream.next_out = reinterpret_cast<Bytef*>(packed.data());
  stream.avail_out = static_cast<uInt>(packed.size());
  CHECK(deflate(&stream, Z_FINISH) == Z_STREAM_END);
  packed.resize(stream.total_out);
  deflateEnd(&stream);
  return packed;
}

/// Latin-1 as UTF-16, with the mark U+FEFF before it if wanted.
inline std::string utf16_of(std::string_view latin_1, bool big, bool mark) {
  std::string wide = mark ? (big ? "\xFE\xFF" : "\xFF\xFE") : "";
  for (const char c : latin_1) {
    if (big) wide += '\0';
    wide += c;
    if (!big) wide += '\0';
  }
  return wide;
}

inline void tell(std::string& text, std::string_view part) { (text += part) += '\n'; }

inline void tell_numbers(std::string& text, const Recording& log) {
  for (std::size_t i = 0; i < log.size(); ++i) {
    const RowMap::Place place = log.row_map.at(i);
    text += std::to_string(place.row) + ":" + std::to_string(place.line) + " " +
            std::to_string(log.time_s[i]);
    for (const Column& column : log.values)
      if (!column.empty()) text += " " + std::to_string(column[i]);
    text += '\n';
  }
  for (const TextChange& change : log.text_changes)
    tell(text, std::to_string(change.index) + " " + change.text);
}

/// Everything that a recording holds but its name, as text.
inline std::string everything(const Recording& log) {
  const HowRead& how = log.how;
  std::string text;
  for (const std::string& part :
       {how.format, how.compression, how.encoding, how.shape, how.delimiter, how.clock,
        listed(how.set_aside), listed(how.missing_cells), listed(how.clock_events)})
    tell(text, part);
  tell(text, std::to_string(how.decimal_comma) + " " + std::to_string(how.header_line) + " " +
                 std::to_string(how.rows));
  for (const ColumnReading& column : how.columns) {
    text += std::string(name_of(column.role)) + "=" + std::to_string(column.column) + " ";
    tell(text, column.heading + " " + column.unit + " " + column.unit_origin);
  }
  for (const std::string& heading : how.ignored) tell(text, heading);
  for (const std::string& note : how.notes) tell(text, note);
  tell(text, std::to_string(log.clock.start_s) + " " + std::to_string(log.clock.offset_min));
  tell_numbers(text, log);
  return text;
}

} // namespace coolband::test
