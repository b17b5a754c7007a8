// SPDX-License-Identifier: Apache-2.0
// A job plan as text, as `coolband.plan/1` and as a page.
#pragma once

#include "coolband/report/report.hpp"
#include "repair/plan.hpp"

#include <string>

namespace coolband {

/// One or two screens for a person. Ends with a newline.
std::string render_plan(const JobPlan& plan, const TextStyle& style);

/// One object, indented (`indent` >= 0) or on one line (-1). No newline at the end.
std::string render_plan_json(const JobPlan& plan, int indent);

/// One self-contained page with boxes to tick, for the job card. Ends with a newline.
std::string render_plan_html(const JobPlan& plan);

} // namespace coolband
