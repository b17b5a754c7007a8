// SPDX-License-Identifier: Apache-2.0
// What the picture of a band says in words.
#pragma once

#include "report/band_panel.hpp"

#include <array>
#include <cstddef>
#include <string>
#include <string_view>

namespace coolband {

/// "1 drive", "2 drives"
std::string plural(std::size_t count, std::string_view noun);
/// "79.7 °C, from 77.3 to 82.1 °C"
std::string limits_words(const NormalBand& band);
/// "at 40 % load and 10 °C outside"; empty where the band depends on neither.
std::string conditions_words(const NormalBand& band);
/// What the limits are and rest on.
std::string origin_words(const NormalBand& band);
/// How many drives a panel had to leave away.
std::string not_drawn(const Panel& panel);
/// What somebody who cannot see the picture wants to know of it.
std::string description_of(const NormalBand& band, const std::array<Panel, 2>& panels);

} // namespace coolband
