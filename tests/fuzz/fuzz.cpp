// SPDX-License-Identifier: Apache-2.0
// The entry point of libFuzzer; COOLBAND_FUZZ_TARGET names the target. A property that does not
// hold throws, which the fuzzer takes for a crash.
#include "fuzz/properties.hpp"

#include <cstddef>
#include <cstdint>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto* const text = static_cast<const char*>(static_cast<const void*>(data));
  coolband::testing::run_target(COOLBAND_FUZZ_TARGET, {text, size});
  return 0;
}
