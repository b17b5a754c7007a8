// SPDX-License-Identifier: Apache-2.0
// Kept out of line, so that each refusal costs its caller one call.
#include "import/input_error.hpp"

#include <utility>

namespace coolband {

Error input_error(Origin origin, std::string message, std::string excerpt, std::string remedy) {
  return {ErrorKind::input, std::move(origin), std::move(message), std::move(excerpt),
          std::move(remedy)};
}

Error usage_error(std::string message, std::string remedy) {
  return {ErrorKind::usage, {}, std::move(message), {}, std::move(remedy)};
}

} // namespace coolband
