// SPDX-License-Identifier: Apache-2.0
// The entry point of libFuzzer; COOLBAND_FUZZ_TARGET names the property.
#include "fuzz/properties.hpp"

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto* const text = static_cast<const char*>(static_cast<const void*>(data));
  const std::string fault = coolband::testing::check_target(COOLBAND_FUZZ_TARGET, {text, size});
  if (fault.empty()) return 0;
  std::fprintf(stderr, "%s\n", fault.c_str());
  std::abort();
}
