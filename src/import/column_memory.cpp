// SPDX-License-Identifier: Apache-2.0
// The one system call behind column_memory.hpp.
#include "import/column_memory.hpp"

#include <memory>

#include <sys/mman.h>

namespace coolband {

void prefer_large_pages(void* data, std::size_t bytes) {
#if defined(MADV_HUGEPAGE)
  constexpr std::size_t large_page = std::size_t{2} << 20;
  if (data == nullptr || !std::align(large_page, large_page, data, bytes)) return;
  ::madvise(data, bytes / large_page * large_page, MADV_HUGEPAGE);
#else
  static_cast<void>(data);
  static_cast<void>(bytes);
#endif
}

} // namespace coolband
