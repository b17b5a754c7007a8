// SPDX-License-Identifier: Apache-2.0
// Bytes to a file descriptor, all of them.
#pragma once

#include <string_view>

namespace coolband {

/// Goes on after short writes and interruptions. 0, or the errno with which it ended early.
int write_all(int file, std::string_view bytes);

} // namespace coolband
