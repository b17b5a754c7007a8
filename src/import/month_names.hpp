// SPDX-License-Identifier: Apache-2.0
// Names of months in the languages of the vocabulary.
#pragma once

#include <string_view>

namespace coolband {

/// 1 to 12 for a month's name at the start of `text`, which is taken off: English, German, French,
/// Spanish, Portuguese, Italian, Dutch, Swedish or Polish, whole or abbreviated, in any case, with
/// or without accents (UTF-8 or Latin-1). A point behind it stays. 0, and nothing taken, for
/// anything else.
int take_month_name(std::string_view& text);

} // namespace coolband
