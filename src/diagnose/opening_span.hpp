// SPDX-License-Identifier: Apache-2.0
// From the start of opening to fully open.
#pragma once

namespace coolband {

/// Between light and full load a sound thermostat regulates over its opening span: at least 8 K,
/// at most 15 K (the published spans are named in docs/methods.md).
inline constexpr double k_least_span_k = 8.0;
inline constexpr double k_widest_span_k = 15.0;

} // namespace coolband
