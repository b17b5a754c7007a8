// SPDX-License-Identifier: Apache-2.0
// Bytes as text and back; what no writer would have written is refused.
#include "band/base64.hpp"

#include "support/random.hpp"

#include <doctest/doctest.h>

#include <string>
#include <utility>

using namespace coolband;

namespace {

std::vector<std::uint8_t> bytes_of(const std::string& text) { return {text.begin(), text.end()}; }

} // namespace

TEST_CASE("the test vectors of RFC 4648, section 10") {
  for (const auto& [text, code] :
       {std::pair{"", ""}, std::pair{"f", "Zg=="}, std::pair{"fo", "Zm8="},
        std::pair{"foo", "Zm9v"}, std::pair{"foob", "Zm9vYg=="}, std::pair{"fooba", "Zm9vYmE="},
        std::pair{"foobar", "Zm9vYmFy"}}) {
    CHECK(to_base64(bytes_of(text)) == code);
    CHECK(from_base64(code) == bytes_of(text));
  }
}

TEST_CASE("any bytes come back") {
  testing::Random random(3);
  for (std::size_t size = 0; size < 40; ++size) {
    std::vector<std::uint8_t> bytes(size);
    for (auto& byte : bytes) byte = static_cast<std::uint8_t>(random.below(256));
    CHECK(from_base64(to_base64(bytes)) == bytes);
  }
}

TEST_CASE("other letters, wrong lengths, padding inside and loose bits are refused") {
  for (const char* wrong : {"Zg", "Zg=", "Z===", "====", "Zm=v", "Zm9v Zg=", "Zm9!",
                            "Zh==", "Zm9v\n", "=Zm9", "Zm8=Zm8="})
    CHECK_FALSE(from_base64(wrong));
}
