// SPDX-License-Identifier: Apache-2.0
// What is assumed of a cooling system that nobody told of, and the mixes that are usual.
#pragma once

namespace coolband {

// Assumed when neither user nor profile says (common practice, no source).
inline constexpr double k_usual_cap_kpa = 90.0;
inline constexpr double k_usual_glycol_pct = 50.0;

// From here on the distance to boiling calls for a look, and from there for a stop, K (common
// practice, no source).
inline constexpr double k_boiling_watch_k = 10.0;
inline constexpr double k_boiling_near_k = 5.0;

// The scope of ASTM D3306 in its later edition, vol %.
inline constexpr double k_weak_mix_pct = 40.0;
inline constexpr double k_strong_mix_pct = 60.0;

} // namespace coolband
