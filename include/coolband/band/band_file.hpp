// SPDX-License-Identifier: Apache-2.0
// `coolband.band/1`: the band as a JSON file, with what `learn --update` needs.
#pragma once

#include "coolband/band/normal_band.hpp"

#include <string>

namespace coolband {

/// Ordered keys, ends with a newline, the same band gives the same bytes.
std::string write_band(const NormalBand& band);

/// Errors (kind usage: a band is configuration): unreadable, not JSON, another or a newer schema,
/// a missing or impossible field.
Result<NormalBand> read_band(const std::string& path);
Result<NormalBand> parse_band(const std::string& text, const std::string& name);

} // namespace coolband
