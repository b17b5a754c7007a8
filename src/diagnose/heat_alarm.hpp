// SPDX-License-Identifier: Apache-2.0
// Is the engine overheating now? A look at the last readings alone, that cannot wait for a verdict.
#pragma once

#include <optional>
#include <span>

namespace coolband {

struct CoolantReading {
  double time_s = 0.0;
  double coolant_c = 0.0; ///< °C, believed
};

/// From where a vehicle regulates to where its coolant boils.
struct HeatScale {
  double level_c = 0.0;
  double boils_c = 0.0;
};

struct Heat {
  double coolant_c = 0.0;               ///< °C, median of the last 10 s, of 3 readings or more
  std::optional<double> rate_k_per_min; ///< over the last minute; none where it was not logged
  double spent = 0.0;                   ///< share of the way from level to boiling; may be below 0
  std::optional<double> boils_in_s;     ///< at that rate; none unless it rises
};

/// `recent` in order of time, a minute or more of it. None for fewer than 3 readings, or where the
/// level lies no more than 5 K below boiling: nothing is left to be spent then.
std::optional<Heat> heat_of(std::span<const CoolantReading> recent, const HeatScale& scale);

/// Three quarters of the margin to boiling are spent, or half of it is and at this rate nine tenths
/// will be in two minutes. Time to pull over before it boils: at 10 K a minute, as fast as full
/// load heats an engine that is not cooled at all (30 kW into 180 kJ/K), a seventh of a margin of
/// 45 K is 40 s (common practice, no source).
bool overheats(const Heat& heat);

/// Back to less than half of the margin and not rising.
bool has_cooled(const Heat& heat);

} // namespace coolband
