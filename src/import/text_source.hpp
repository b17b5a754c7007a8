// SPDX-License-Identifier: Apache-2.0
// The text of a log in UTF-8 (or Latin-1), however its bytes are packed and encoded.
#pragma once

#include "import/byte_source.hpp"
#include "import/gzip_source.hpp"
#include "import/utf16_source.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// A source whose first bytes can be looked at before they are read.
class PeekSource : public ByteSource {
 public:
  static constexpr std::size_t k_most_bytes = 64;

  explicit PeekSource(ByteSource& source) : source_(&source) {}

  /// The first bytes, `count` (up to `k_most_bytes`) or more; fewer when the source ends or fails.
  /// To be called before `read`.
  std::string_view peek(std::size_t count);
  Result<std::size_t> read(char* into, std::size_t size) override;
  [[nodiscard]] std::size_t size_hint() const override { return source_->size_hint(); }

 private:
  ByteSource* source_;
  std::array<char, k_most_bytes> bytes_{};
  std::size_t begin_ = 0;
  std::size_t end_ = 0;
  bool ended_ = false;
  std::optional<Error> error_; ///< met while peeking, given by `read` in its turn
};

/// Unpacks gzip and turns UTF-16 into UTF-8, both told by the first bytes; hands on everything else
/// as it is. Where gzip data breaks off within a line, U+FFFD is put behind the text, so that a
/// number of which only the first digits are left is not taken for a whole one.
class TextSource : public ByteSource {
 public:
  /// Reads the first bytes of `source`, which stays the caller's; errors come from `read`.
  TextSource(ByteSource& source, const std::string& name);
  TextSource(const TextSource&) = delete;
  TextSource& operator=(const TextSource&) = delete;

  Result<std::size_t> read(char* into, std::size_t size) override;
  [[nodiscard]] std::size_t size_hint() const override { return size_hint_; }

  /// Reads on to the check sum of gzip data, for a format that may end before its text does. Gives
  /// up after the length of a record; what is read is lost.
  void read_check_sum();

  [[nodiscard]] std::string_view compression() const { return gzip_ ? "gzip" : ""; }
  /// "UTF-8" or "UTF-16" where the bytes themselves say so; else empty.
  [[nodiscard]] std::string_view encoding() const { return encoding_; }
  /// What is wrong with the gzip data, as far as it was read; else empty.
  [[nodiscard]] std::string fault() const { return gzip_ ? gzip_->fault() : std::string(); }
  /// Every assumption and complaint, as far as the text was read.
  [[nodiscard]] std::vector<std::string> notes() const;

 private:
  void find_encoding(PeekSource& bytes);
  std::size_t mark_cut(char* into, std::size_t size);

  PeekSource raw_;
  std::optional<GzipSource> gzip_;
  std::optional<PeekSource> unpacked_;
  std::optional<Utf16Source> utf16_;
  ByteSource* text_;
  std::size_t size_hint_ = 0;
  std::string_view encoding_;
  bool order_assumed_ = false;
  char last_ = '\n'; ///< the last byte handed out
  std::string_view cut_mark_ = "\xEF\xBF\xBD";
};

/// "ASCII", "UTF-8" or "Latin-1", told from the bytes of the sample only: cells further on that are
/// no UTF-8 are mended one by one. `complete` says that the text does not go on behind the sample.
std::string_view encoding_of(std::string_view sample, bool complete);

} // namespace coolband
