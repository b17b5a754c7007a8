// SPDX-License-Identifier: Apache-2.0
// Names as people say them.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

namespace coolband {

/// "thermostat-stuck-open" without its hyphens.
inline std::string plain_name(std::string_view name) {
  std::string text(name);
  std::replace(text.begin(), text.end(), '-', ' ');
  return text;
}

} // namespace coolband
