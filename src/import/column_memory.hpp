// SPDX-License-Identifier: Apache-2.0
// Memory for long columns, asked for in large pages: touching it page by page costs more than
// parsing what goes into it.
#pragma once

#include <cstddef>
#include <vector>

namespace coolband {

/// A hint to the system; without effect where there is no such thing or the range is small.
void prefer_large_pages(void* data, std::size_t bytes);

template <class T>
void reserve_column(std::vector<T>& column, std::size_t rows) {
  column.reserve(rows);
  prefer_large_pages(column.data(), column.capacity() * sizeof(T));
}

} // namespace coolband
