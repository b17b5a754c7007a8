// SPDX-License-Identifier: Apache-2.0
// Words that say how times are written: "mm:ss", "hh:mm:ss.fff", "hhmmss", "dd/mm/yyyy", "dmy",
// "days".
#pragma once

#include "import/date_text.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace coolband {

struct TimeForm {
  enum class Parts { unknown, hours, minutes }; ///< what the first part of a clock time is
  DateOrder order = DateOrder::unknown;
  Parts parts = Parts::unknown;
  bool days = false;   ///< numbers that count days
  bool digits = false; ///< a clock time without marks, "hhmmss"
};

/// Reads such a word, in the letters of the vocabulary's languages (JJJJ, aaaa, rrrr for years, TT
/// and gg for days); nothing for anything else. A single letter or "min" alone is a unit, not a
/// form.
std::optional<TimeForm> read_time_form(std::string_view text);

/// The form at the end of a heading: "Time (mm:ss)", "Date dd.mm.yyyy". Without one, nothing.
std::optional<TimeForm> time_form_of(std::string_view heading);

/// The heading without that form; the heading itself when it has none, or is nothing else.
std::string without_time_form(std::string_view heading);

} // namespace coolband
