// SPDX-License-Identifier: Apache-2.0
// The few exit codes, as the contract has them.
#pragma once

#include "coolband/core/error.hpp"

namespace coolband::cli {

enum ExitCode : int {
  k_done = 0,
  k_level_reached = 1, ///< --fail-on
  k_usage = 2,
  k_input = 3,
  k_output = 4,
  k_internal = 5,
  k_interrupted = 130,
};

inline ExitCode exit_code_of(ErrorKind kind) {
  switch (kind) {
  case ErrorKind::usage: return k_usage;
  case ErrorKind::input: return k_input;
  case ErrorKind::output: return k_output;
  case ErrorKind::internal: return k_internal;
  }
  return k_internal;
}

} // namespace coolband::cli
