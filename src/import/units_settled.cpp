// SPDX-License-Identifier: Apache-2.0
// Plausibility of whole columns: no engine's coolant spends its time at 200 °C, and none at 190 K.
#include "import/units_settled.hpp"

#include "import/heading.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

// 95th percentiles of coolant that tell the unit (common practice, no source): a warm engine is at
// 75 to 120 °C, which is 167 to 248 °F and 348 to 393 K.
constexpr float k_fahrenheit_from = 150.0F;
constexpr float k_fahrenheit_to = 260.0F;
constexpr float k_kelvin_from = 300.0F;
constexpr float k_kelvin_to = 420.0F;
// The load of a running engine spreads over more than this share of its full range.
constexpr float k_fraction_spread = 0.05F;

/// True when the 95th percentile lies in [from, to], found by counting.
bool high_values_in(const Column& values, float from, float to) {
  std::size_t finite = 0;
  std::size_t above_from = 0;
  std::size_t above_to = 0;
  for (const float v : values) {
    finite += std::isnan(v) ? 0U : 1U;
    above_from += v >= from ? 1U : 0U;
    above_to += v > to ? 1U : 0U;
  }
  return finite > 0 && above_from * 20 > finite && above_to * 20 <= finite;
}

std::optional<Unit> temperature_from_values(const Column& values) {
  if (high_values_in(values, k_fahrenheit_from, k_fahrenheit_to)) return unit_named("degF");
  if (high_values_in(values, k_kelvin_from, k_kelvin_to)) return unit_named("K");
  return std::nullopt;
}

/// Fractions of 1: nothing above 1, and more than an idle flag's worth of variation between.
bool is_fraction(const Column& values) {
  float low = 2.0F;
  float high = -1.0F;
  bool between = false;
  for (const float v : values) {
    if (std::isnan(v)) continue;
    low = std::min(low, v);
    high = std::max(high, v);
    between |= v > 0.0F && v < 1.0F;
  }
  return between && low >= 0.0F && high <= 1.0F && high - low > k_fraction_spread;
}

class Settler {
 public:
  Settler(Recording& recording, const TableHead& head, const ColumnPlan& plan)
      : recording_(recording), head_(head), plan_(plan) {}

  void run() {
    settle_coolant();
    for (std::size_t i = 0; i < k_role_count; ++i) settle(static_cast<Role>(i));
  }

 private:
  void settle_coolant();
  void settle(Role role);
  ColumnReading assume(Role role);
  std::string heading_of(Role role) const {
    const std::size_t index = plan_.of(role)->index;
    return head_.headings.empty() ? fmt::format("column {}", index + 1) : head_.heading_of(index);
  }
  void note(std::string text) { recording_.how.notes.push_back(std::move(text)); }

  Recording& recording_;
  const TableHead& head_;
  const ColumnPlan& plan_;
  std::optional<Unit> temperature_; ///< what the coolant's values tell, when it has no unit
};

void Settler::settle_coolant() {
  const auto& use = plan_.of(Role::coolant);
  if (!use) return;
  const auto told = temperature_from_values(recording_.column(Role::coolant));
  if (!use->unit) {
    temperature_ = told;
  } else if (told && told->name == "°F" && use->unit->name == "°C") {
    note(
        fmt::format("WARNING: \"{}\" is given as °C, but its values look like °F; if they are, say "
                    "--column coolant=\"{}\":degF",
                    heading_of(Role::coolant), heading_of(Role::coolant)));
  }
}

/// Other temperatures without a unit follow the coolant: one logger, one scale.
ColumnReading Settler::assume(Role role) {
  ColumnReading reading;
  reading.unit = own_unit(role);
  reading.unit_origin = "assumed";
  auto& values = recording_.column(role);
  const Quantity quantity = quantity_of(role);
  std::optional<Unit> told;
  if (quantity == Quantity::temperature) told = temperature_;
  if (quantity == Quantity::ratio && role != Role::fan && is_fraction(values))
    told = unit_for(role, "fraction");
  if (told) {
    values.rescale(told->scale, told->offset);
    reading.unit = told->name;
    reading.unit_origin = "values";
    note(fmt::format("{} has no unit: read as {} by {} values", name_of(role), told->name,
                     quantity == Quantity::temperature && role != Role::coolant ? "the coolant's"
                                                                                : "its"));
  } else if (quantity != Quantity::rotation && quantity != Quantity::none) {
    note(fmt::format("{} has no unit: read as {}", name_of(role), reading.unit));
  }
  return reading;
}

void Settler::settle(Role role) {
  const auto& use = plan_.of(role);
  if (!use || role == Role::time) return;
  ColumnReading reading;
  if (use->unit) {
    reading.unit = use->unit->name;
    reading.unit_origin = use->unit_origin;
  } else if (role != Role::trip && role != Role::vehicle) {
    reading = assume(role);
  }
  reading.role = role;
  reading.heading = heading_of(role);
  reading.column = use->index + 1;
  recording_.how.columns.push_back(std::move(reading));
}

} // namespace

void settle_units(Recording& recording, const TableHead& head, const ColumnPlan& plan) {
  Settler(recording, head, plan).run();
}

} // namespace coolband
