// SPDX-License-Identifier: Apache-2.0
// All that can be said of a coolant in its system: what is known of both, what is asked, and the
// answers.
#pragma once

#include "circuit/refill.hpp"
#include "circuit/usual_coolant.hpp"
#include "coolband/circuit/coolant_fluid.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace coolband {

/// Where a number comes from.
enum class Source : std::uint8_t { assumed, profile, user };

/// What is known of the system (the usual where nobody told), and what is asked of it. Volumes in
/// L.
struct CoolantQuestion {
  CoolantMix mix{Glycol::ethylene, k_usual_glycol_pct};
  Source glycol_from = Source::assumed;
  Source concentration_from = Source::assumed;
  double cap_kpa = k_usual_cap_kpa; ///< gauge
  Source cap_from = Source::assumed;
  double altitude_m = 0.0; ///< geometric
  Source altitude_from = Source::assumed;
  std::optional<double> capacity_l;
  Source capacity_from = Source::assumed;
  // asked:
  std::optional<double> temperature_c; ///< how far is that from boiling?
  std::optional<double> protect_to_c;  ///< which mix stands this frost?
  std::optional<double> target_pct;    ///< how to get to this mix?
  std::optional<double> drained_l;
  std::optional<double> top_up_l; ///< what does that make of the mix?
  double product_pct = 100.0;
  Source product_from = Source::assumed;
};

struct BoilingMargin {
  double at_cap_k = 0.0;
  double open_k = 0.0;
};

struct Protection {
  double concentration_pct = 0.0;
  /// For `k_frost_reserve_k` less, since published curves differ; none where no mix reaches that.
  std::optional<double> with_reserve_pct;
};
inline constexpr double k_frost_reserve_k = 2.0;

/// A full system after what was missing was filled in.
struct TopUp {
  double added_pct = 0.0;
  double result_pct = 0.0;
  std::optional<double> freezes_c; ///< none beyond 60 vol %
};

struct CoolantCard {
  double mass_pct = 0.0;
  double freezes_c = 0.0;
  double outside_kpa = 0.0;
  double boils_c = 0.0;      ///< at the cap's pressure
  double boils_open_c = 0.0; ///< without any
  CoolantHeat heat;          ///< at `k_running_c`
  CoolantHeat water_heat;
  std::optional<BoilingMargin> margin;
  std::optional<Protection> protection;
  std::optional<Refill> refill;
  std::vector<TopUp> top_ups; ///< with water, with the mix that is in it, with the product
};
inline constexpr double k_running_c = 90.0;

/// Errors (kind usage): a mix or pressure beyond the tables, a frost that no mix stands, a target
/// that cannot be reached; a refill or top-up without a capacity.
Result<CoolantCard> coolant_card(const CoolantQuestion& question);

} // namespace coolband
