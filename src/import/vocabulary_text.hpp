// SPDX-License-Identifier: Apache-2.0
// The text of data/vocabulary/headings.txt, compiled in.
#pragma once

#include <string_view>

namespace coolband {

std::string_view vocabulary_text();

} // namespace coolband
