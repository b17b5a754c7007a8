// SPDX-License-Identifier: Apache-2.0
// Which bolts which work loosens: common practice, no source.
#include "repair/fasteners.hpp"

#include <array>

namespace coolband {

namespace {

constexpr std::array<TorqueRange, 4> k_ranges{
    {{6, 7.5, 11, 10, 9}, {8, 18, 28, 25, 20}, {10, 37, 55, 49, 40}, {12, 64, 95, 85, 70}}};

} // namespace

std::span<const TorqueRange> torque_ranges() { return k_ranges; }

std::vector<FastenerGroup> fasteners_of(RepairKind kind) {
  switch (kind) {
  case RepairKind::thermostat:
    return {{"hose clamps at the housing", ""},
            {"thermostat housing bolts", "note lengths; often M6 or M8 into aluminium"}};
  case RepairKind::fan:
    return {{"shroud screws", ""}, {"fan or clutch fasteners", "some have a left-hand thread"}};
  case RepairKind::radiator:
    return {{"hose clamps", ""}, {"shroud screws", ""}, {"radiator mounts", "mind the rubbers"}};
  case RepairKind::flow:
    return {{"belt tensioner or pivot bolts", ""},
            {"pulley bolts", ""},
            {"pump bolts", "note lengths and which hole goes into the coolant"}};
  case RepairKind::leak: return {{"hose clamps at the leak", ""}, {"bleed screws", "soft metal"}};
  case RepairKind::sensor: return {{"sensor or its bracket", "often a fine thread in soft metal"}};
  case RepairKind::none: break;
  }
  return {};
}

} // namespace coolband
