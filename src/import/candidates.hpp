// SPDX-License-Identifier: Apache-2.0
// Several columns that could play one role, in the order of a stated rule; and headings that come
// close to a role without being understood.
#pragma once

#include "import/heading.hpp"
#include "import/table_head.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct RoleCandidate {
  std::size_t index = 0;
  int tier = 1;
  int sensor = 1;
  std::size_t readable = 0; ///< cells of the sample that hold a value for the role
};

/// True when `a` goes before `b`. A column without any value goes last; then the lower tier of the
/// vocabulary, the lower sensor number, the one with more values in the sample, and the leftmost.
bool better(const RoleCandidate& a, const RoleCandidate& b);

/// Why `better(a, b)`, for a person.
std::string why_better(const RoleCandidate& a, const RoleCandidate& b);

/// Cells of the sample that can be read as a value of `role`.
std::size_t readable_cells(const TableHead& head, std::size_t column, Role role);

/// An identifier stays the same over many rows; a column with a new text in most rows is none.
bool is_no_identifier(const TableHead& head, std::size_t column);

/// Every filled cell of the sample begins with a date: "Data" heads dates in some languages.
bool holds_dates(const TableHead& head, std::size_t column);

/// The role whose phrases the heading misses by a slip of the pen; only roles marked in `wanted`
/// (by Role). Strict, as a wrong suggestion is worse than none.
std::optional<Role> role_nearly_named(std::string_view heading, const Vocabulary& known,
                                      const std::vector<bool>& wanted);

} // namespace coolband
