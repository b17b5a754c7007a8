// SPDX-License-Identifier: Apache-2.0
// How much to drain, and how much product and water to fill in.
#include "circuit/refill.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

/// What nobody can measure, in L: less than a drop.
constexpr double k_nothing_l = 1e-6;

Error wrong(std::string message, std::string remedy) {
  return {ErrorKind::usage, {}, std::move(message), {}, std::move(remedy)};
}

bool is_pct(double value) { return value >= 0.0 && value <= 100.0; }

std::optional<Error> complaint_of(const RefillTask& task) {
  if (!(task.capacity_l > 0.0 && std::isfinite(task.capacity_l)))
    return wrong(fmt::format("a capacity of {:g} L is none", task.capacity_l),
                 "give what the whole cooling system holds");
  if (!(task.missing_l >= 0.0 && task.missing_l <= task.capacity_l))
    return wrong(fmt::format("{:g} L cannot be missing from a system of {:g} L", task.missing_l,
                             task.capacity_l),
                 "give no more than the system holds");
  if (!is_pct(task.present_pct) || !is_pct(task.target_pct))
    return wrong(fmt::format("from {:g} to {:g} vol % is no change of concentration",
                             task.present_pct, task.target_pct),
                 "give concentrations between 0 and 100 %");
  if (!(is_pct(task.product_pct) && task.product_pct > 0.0))
    return wrong(fmt::format("a product of {:g} vol % is none", task.product_pct),
                 "give its strength above 0 and up to 100 %");
  return std::nullopt;
}

/// Product alone does not reach the target in the room there is; more room may help.
Result<Refill> with_more_room(const RefillTask& task) {
  const double present = task.present_pct;
  const double target = task.target_pct;
  const double product = task.product_pct;
  if (product > present && product >= target) {
    const double drain_l = exchange_volume_l(task.capacity_l, present, target, product);
    return Refill{drain_l, drain_l - task.missing_l, drain_l, 0.0};
  }
  if (present < target)
    return wrong(fmt::format("a product of {:.4g} vol % cannot bring {:.4g} vol % up to {:.4g}",
                             product, present, target),
                 fmt::format("take a product of at least {:.4g} %; the stronger, the less must be "
                             "drained",
                             target));
  const double remaining_l = task.capacity_l - task.missing_l;
  const double needed = (task.capacity_l * target - remaining_l * present) / task.missing_l;
  return wrong(
      fmt::format("with {:.4g} L missing, a product of {:.4g} vol % gives less than {:.4g}",
                  task.missing_l, product, target),
      fmt::format("take a product of at least {:.1f} %", std::ceil(10.0 * needed) / 10.0));
}

} // namespace

double exchange_volume_l(double capacity_l, double present_pct, double target_pct,
                         double added_pct) {
  return capacity_l * (target_pct - present_pct) / (added_pct - present_pct);
}

double mixed_pct(double capacity_l, double present_pct, double added_l, double added_pct) {
  return ((capacity_l - added_l) * present_pct + added_l * added_pct) / capacity_l;
}

Result<Refill> plan_refill(const RefillTask& task) {
  if (const auto error = complaint_of(task)) return *error;
  const double remaining_l = task.capacity_l - task.missing_l;
  const double product_l =
      (task.capacity_l * task.target_pct - remaining_l * task.present_pct) / task.product_pct;
  if (product_l > task.missing_l + k_nothing_l) return with_more_room(task);
  if (product_l < -k_nothing_l) {
    const double drain_l =
        exchange_volume_l(task.capacity_l, task.present_pct, task.target_pct, 0.0);
    return Refill{drain_l, drain_l - task.missing_l, 0.0, drain_l};
  }
  const double filled_l = std::clamp(product_l, 0.0, task.missing_l);
  return Refill{task.missing_l, 0.0, filled_l, task.missing_l - filled_l};
}

} // namespace coolband
