// SPDX-License-Identifier: Apache-2.0
// A command that cannot be run as it was given.
#pragma once

#include "coolband/core/error.hpp"

#include <string>
#include <utility>

namespace coolband::cli {

inline Error usage(std::string what, std::string remedy) {
  return {ErrorKind::usage, {}, std::move(what), "", std::move(remedy)};
}

} // namespace coolband::cli
