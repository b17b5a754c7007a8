// SPDX-License-Identifier: Apache-2.0
// Where bytes come from: a file, a pipe or memory. The only seam of the import.
#pragma once

#include "coolband/core/result.hpp"

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>

namespace coolband {

class ByteSource {
 public:
  virtual ~ByteSource() = default;
  /// Reads up to `size` bytes into `into`; 0 is the end. A short read is not the end.
  virtual Result<std::size_t> read(char* into, std::size_t size) = 0;
  /// Bytes in all, when known beforehand; else 0. Only a hint for reserving memory.
  [[nodiscard]] virtual std::size_t size_hint() const { return 0; }
};

/// Bytes that somebody else keeps alive.
class MemorySource : public ByteSource {
 public:
  explicit MemorySource(std::string_view bytes) : rest_(bytes), size_(bytes.size()) {}
  Result<std::size_t> read(char* into, std::size_t size) override;
  [[nodiscard]] std::size_t size_hint() const override { return size_; }

 private:
  std::string_view rest_;
  std::size_t size_;
};

/// Opens `path`, or standard input for "-". Errors (kind input) say why it cannot be read.
Result<std::unique_ptr<ByteSource>> open_source(const std::string& path);

} // namespace coolband
