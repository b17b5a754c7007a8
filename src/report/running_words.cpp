// SPDX-License-Identifier: Apache-2.0
// The numbers of a trip in words.
#include "report/running_words.hpp"

#include "report/criterion_words.hpp"
#include "report/explanation.hpp"

#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

std::string origin_of(const NormalBand& band) {
  switch (band.origin) {
  case BandOrigin::learned:
    return fmt::format(", learned from {} drive{}", band.drive_count(),
                       band.drive_count() == 1 ? "" : "s");
  case BandOrigin::profile: return ", from the profile (not learned)";
  case BandOrigin::trip: return ", from this trip itself (nothing else is known)";
  }
  return "";
}

} // namespace

std::string normal_words(const TripFinding& finding, bool explain) {
  if (!finding.band) return "none: the trip never ran warm, so there was nothing to judge it by";
  const NormalBand& band = *finding.band;
  std::string text =
      fmt::format("{:.1f} °C, {:.1f} to {:.1f}", band.centre_c, band.centre_c - band.half_width_c,
                  band.centre_c + band.half_width_c) +
      origin_of(band);
  if (explain && band.load_c_per_pct && band.reference_load_pct)
    text += fmt::format("; at {:.0f} % load, {:+.3f} K per %", *band.reference_load_pct,
                        *band.load_c_per_pct);
  if (explain && band.ambient_c_per_c && band.reference_ambient_c)
    text += fmt::format("; at {:.0f} °C outside, {:+.2f} K per K", *band.reference_ambient_c,
                        *band.ambient_c_per_c);
  return text;
}

std::string running_words(const Judgement& judgement) {
  std::string text = fmt::format("{} judged", format_duration(judgement.judged_s));
  if (judgement.share_in_band)
    text += fmt::format(", {:.0f} % normal", 100.0 * *judgement.share_in_band);
  if (judgement.median_c) {
    text += fmt::format("; nine tenths {:.1f} to {:.1f} °C, median {:.1f}", *judgement.p05_c,
                        *judgement.p95_c, *judgement.median_c);
  }
  return text;
}

std::string boiling_words(const Judgement& judgement) {
  if (!judgement.hottest_c) return "";
  std::string text = fmt::format("hottest {:.1f} °C", *judgement.hottest_c);
  if (judgement.boiling.point_c) {
    const double margin_k = *judgement.boiling.point_c - *judgement.hottest_c;
    text += fmt::format("; boils at {:.1f} °C, so {:.1f} K {}", *judgement.boiling.point_c,
                        std::abs(margin_k), margin_k < 0.0 ? "too hot" : "were left");
  }
  return text;
}

std::string warm_up_words(const WarmUp& warm_up, const std::optional<NormalBand>& band) {
  std::string end = warm_up.reached_s ? "regulated after " + format_duration(*warm_up.reached_s)
                                      : "did not reach regulation";
  if (const auto expected_s = band ? expected_warm_up_s(*band, warm_up) : std::nullopt)
    end += fmt::format(" (usual: {})", format_duration(*expected_s));
  if (warm_up.opened_c) end += fmt::format("; it opened near {:.0f} °C", *warm_up.opened_c);
  return fmt::format("from {:.1f} °C at {}: {}", warm_up.from_c, minute_words(warm_up.start_s),
                     end);
}

std::string needle_words(const Judgement& judgement) {
  const auto hidden = hidden_from_dash_needle(judgement);
  if (!hidden) return "";
  return *hidden ? "a dash needle would have hidden it: it stands still from 70 to 90 °C"
                 : "a dash needle would have shown it: beyond its still 70 to 90 °C";
}

std::vector<std::pair<std::string, std::string>> number_lines(const TripReport& report) {
  const Judgement& judgement = report.finding.judgement;
  std::vector<std::pair<std::string, std::string>> lines;
  const auto add = [&](const char* label, const std::string& words) {
    if (!words.empty()) lines.emplace_back(label, words);
  };
  add("NORMAL", normal_words(report.finding, report.explain));
  add("RUNNING", running_words(judgement));
  add("BOILING", boiling_words(judgement));
  for (const WarmUp& warm_up : report.finding.trip.warm_ups)
    add("WARM-UP", warm_up_words(warm_up, report.finding.band));
  add("REGULATION", criterion_words(judgement.regulation));
  add("NEEDLE", needle_words(judgement));
  return lines;
}

} // namespace coolband
