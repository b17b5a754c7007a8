// SPDX-License-Identifier: Apache-2.0
#include "diagnose/as_logged.hpp"

#include "diagnose/logged.hpp"

#include <fmt/core.h>

#include <string>
#include <vector>

namespace coolband {

namespace {

/// "a", "a and b", "a, b and c"
std::string listed(const std::vector<std::string>& items) {
  std::string text = items.front();
  for (std::size_t i = 1; i < items.size(); ++i)
    text += (i + 1 < items.size() ? ", " : " and ") + items[i];
  return text;
}

/// Conditions that the band corrects for, in words.
std::vector<std::string> lacking(const NormalBand& band, const Withheld& withheld) {
  std::vector<std::string> conditions;
  if (withheld.load && band.load_c_per_pct) conditions.emplace_back("load");
  if (withheld.ambient && band.ambient_c_per_c) conditions.emplace_back("outside temperature");
  if (withheld.speed && band.speed) conditions.emplace_back("road speed");
  if (withheld.speed && band.idle) conditions.emplace_back("standing");
  if (withheld.altitude && band.climb) conditions.emplace_back("climbing");
  return conditions;
}

} // namespace

Withheld not_logged(const Blocks& blocks) {
  return {!logged(blocks.load), !logged(blocks.ambient), !logged(blocks.speed),
          !logged(blocks.altitude)};
}

std::optional<NormalBand> band_without(const NormalBand& band, const Withheld& withheld) {
  if (band.origin != BandOrigin::learned) return std::nullopt;
  const auto conditions = lacking(band, withheld);
  if (conditions.empty()) return std::nullopt;
  auto wider = without(band, withheld);
  if (!wider) return std::nullopt;
  wider->notes.push_back(
      fmt::format("corrects for {}, which this log does not have: without, normal running strays "
                  "by {:.1f} K either way instead of {:.1f} K",
                  listed(conditions), wider->half_width_c, band.half_width_c));
  return wider;
}

} // namespace coolband
