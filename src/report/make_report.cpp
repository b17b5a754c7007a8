// SPDX-License-Identifier: Apache-2.0
// Gathers a report and answers the question about the dash needle.
#include "coolband/report/report.hpp"

namespace coolband {

namespace {

constexpr double k_needle_from_c = 70.0;
constexpr double k_needle_to_c = 90.0;

} // namespace

TripReport make_report(const Recording& recording, const TripFinding& finding,
                       const std::optional<VehicleProfile>& profile) {
  const NormalBand* band = finding.band ? &*finding.band : nullptr;
  return {recording, finding, profile,
          advise(finding.judgement, band, profile ? &*profile : nullptr)};
}

std::optional<bool> hidden_from_dash_needle(const Judgement& judgement) {
  bool any = false;
  bool hidden = true;
  for (const Episode& episode : judgement.episodes) {
    if (episode.explained_by != Explanation::none || episode.direction == Direction::erratic)
      continue;
    any = true;
    hidden = hidden && episode.extreme_c >= k_needle_from_c && episode.extreme_c <= k_needle_to_c;
  }
  if (!any) return std::nullopt;
  return hidden;
}

} // namespace coolband
