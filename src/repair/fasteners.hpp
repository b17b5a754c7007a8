// SPDX-License-Identifier: Apache-2.0
// Bolts to count off and back on, and the range in which the torque of a plain one lies.
#pragma once

#include "repair/repair_kind.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// Plain bolt of class 8.8, coarse thread, N·m: only to notice a slip of the pen. The maker's
/// figure rules.
struct TorqueRange {
  int size_mm = 0;
  double least_nm = 0.0;
  double most_nm = 0.0;
  double oiled_nm = 0.0;     ///< lightly oiled, friction 0.14
  double aluminium_nm = 0.0; ///< into cast aluminium
};

/// M6 to M12. From general tables in machine makers' manuals (common practice, no source); the
/// spread is dry, oiled, plated and cast aluminium.
std::span<const TorqueRange> torque_ranges();

struct FastenerGroup {
  std::string what; ///< "thermostat housing bolts"
  std::string note; ///< what to mind
};

/// In the order in which they come off; empty where no work is planned.
std::vector<FastenerGroup> fasteners_of(RepairKind kind);

} // namespace coolband
