// SPDX-License-Identifier: Apache-2.0
// Bytes as text by RFC 4648, section 4.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

std::string to_base64(std::span<const std::uint8_t> bytes);
/// None for anything that `to_base64` would not have written: other letters, a wrong length.
std::optional<std::vector<std::uint8_t>> from_base64(std::string_view text);

} // namespace coolband
