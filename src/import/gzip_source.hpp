// SPDX-License-Identifier: Apache-2.0
// The text within gzip data (RFC 1952), unpacked while it is read.
#pragma once

#include "import/byte_source.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

struct z_stream_s; // of zlib, which only the source file includes

namespace coolband {

/// Members that follow each other are one text; zeros behind a member are padding. Memory does not
/// depend on how much the data grows. Data that is cut short or damaged is read as far as it goes,
/// and `fault` says so; when nothing at all comes out of it, `read` gives an error (kind input).
class GzipSource : public ByteSource {
 public:
  /// `packed` stays the caller's and is read on its own pace; its errors are handed on as they are.
  GzipSource(ByteSource& packed, std::string name);

  Result<std::size_t> read(char* into, std::size_t size) override;

  /// What is wrong with the data, in words, as far as it was read; empty while all is well.
  [[nodiscard]] const std::string& fault() const { return fault_; }
  /// The text ended where the data was cut or damaged, so its last record may be a part of one.
  [[nodiscard]] bool cut() const { return cut_; }

 private:
  struct Closer {
    void operator()(z_stream_s* stream) const;
  };

  std::optional<Error> step(std::size_t& produced);
  std::optional<Error> refill();
  std::optional<Error> next_member();
  void stop(std::string fault, bool cut);
  void damaged();

  ByteSource* packed_;
  std::string name_;
  std::unique_ptr<z_stream_s, Closer> stream_;
  std::vector<char> input_;
  std::uint64_t given_ = 0;        ///< bytes of text so far
  std::uint64_t member_start_ = 0; ///< bytes of text before the current member
  std::size_t members_ = 0;        ///< members that are complete
  bool between_members_ = false;
  bool source_ended_ = false;
  bool ended_ = false;
  bool cut_ = false;
  std::string fault_;
};

} // namespace coolband
