// SPDX-License-Identifier: Apache-2.0
// The coolant card as text and as `coolband.coolant/1`.
#pragma once

#include "circuit/coolant_card.hpp"
#include "coolband/report/report.hpp"
#include "report/amounts.hpp"

#include <string>
#include <vector>

namespace coolband {

struct CoolantReport {
  CoolantQuestion question;
  CoolantCard card;
  std::vector<std::string> remarks; ///< how the question itself was read
  Amounts amounts;                  ///< for text; JSON is in coolband's own units
};

std::string render_coolant(const CoolantReport& report, const TextStyle& style);

/// One object, indented (`indent` >= 0) or on one line (-1). No newline at the end.
std::string render_coolant_json(const CoolantReport& report, int indent);

} // namespace coolband
