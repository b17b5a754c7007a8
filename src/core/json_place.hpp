// SPDX-License-Identifier: Apache-2.0
// Where a field stands in the text of a JSON document that is known to be valid.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace coolband {

/// Byte at which the field begins that `path` names ("route[2].minutes"): its key, or the element
/// of a list. Where the last part is not there, the place of what should hold it. Keys written with
/// escapes are not found.
std::size_t offset_of(std::string_view json, std::string_view path);

/// A key that stands twice in the same object: the byte of its second place, and the key.
struct RepeatedKey {
  std::size_t offset = 0;
  std::string key;
};
std::optional<RepeatedKey> repeated_key(std::string_view json);

/// Members of the object that the text is, 0 where it is none. The text need not be valid.
std::size_t member_count(std::string_view json);

} // namespace coolband
