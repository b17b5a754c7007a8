// SPDX-License-Identifier: Apache-2.0
// Any bytes in a few characters.
#pragma once

#include <string>
#include <string_view>

namespace coolband {

/// Letters and digits of ASCII, and what `plain` holds, as they are; every other byte as "%" and
/// two hexadecimal digits (RFC 3986, section 2.1).
std::string percent_encoded(std::string_view text, std::string_view plain);

} // namespace coolband
