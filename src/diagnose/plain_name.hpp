// SPDX-License-Identifier: Apache-2.0
// Names as people say them.
#pragma once

#include "coolband/diagnose/judgement.hpp"

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

/// As one of several things that may be wrong: there "normal" is that nothing is.
inline std::string suspect_name(Condition condition) {
  return condition == Condition::normal ? "no fault" : plain_name(name_of(condition));
}

} // namespace coolband
