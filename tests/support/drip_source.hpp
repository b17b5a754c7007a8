// SPDX-License-Identifier: Apache-2.0
// Bytes from memory that come in small portions, as from a slow pipe.
#pragma once

#include "import/byte_source.hpp"

#include <algorithm>
#include <cstddef>
#include <string_view>

namespace coolband::testing {

/// Gives at most `most` bytes at a time.
class DripSource : public ByteSource {
 public:
  DripSource(std::string_view bytes, std::size_t most) : inner_(bytes), most_(most) {}
  Result<std::size_t> read(char* into, std::size_t size) override {
    return inner_.read(into, std::min(size, most_));
  }

 private:
  MemorySource inner_;
  std::size_t most_;
};

} // namespace coolband::testing
