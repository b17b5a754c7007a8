// SPDX-License-Identifier: Apache-2.0
// What `learn` tells a person of a new band.
#include "coolband/report/report.hpp"
#include "report/circuit_words.hpp"
#include "report/layout.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

double warm_s_of(const NormalBand& band) {
  double warm_s = 0.0;
  for (const DriveSummary& drive : band.drives) warm_s += drive.warm_s;
  for (const FoldedDrives& sums : band.folded) warm_s += sums.warm_s;
  return warm_s;
}

std::string seen_words(const std::optional<Range>& seen, const char* unit) {
  return seen ? fmt::format("; {:.0f} to {:.0f} {} seen", seen->low, seen->high, unit) : "";
}

void add_conditions(Page& page, const NormalBand& band) {
  if (band.load_c_per_pct && band.reference_load_pct) {
    page.add("LOAD",
             fmt::format("{:+.3f} ± {:.3f} K per % from {:.0f} %, after {:.0f} s{}",
                         *band.load_c_per_pct, band.load_error_c_per_pct, *band.reference_load_pct,
                         band.load_lag_s, seen_words(band.load_seen_pct, "%")));
  }
  if (band.ambient_c_per_c && band.reference_ambient_c) {
    page.add("AMBIENT",
             fmt::format("{:+.3f} ± {:.3f} K per K from {:.0f} °C{}", *band.ambient_c_per_c,
                         band.ambient_error_c_per_c, *band.reference_ambient_c,
                         seen_words(band.ambient_seen_c, "°C")));
  }
  if (band.speed) {
    page.add("SPEED", fmt::format("{:+.2f} ± {:.2f} K per 10 km/h from {:.0f} km/h",
                                  10.0 * band.speed->slope, 10.0 * band.speed->error,
                                  band.speed->reference));
  }
  if (band.idle)
    page.add("STANDING", fmt::format("{:+.1f} ± {:.1f} K", band.idle->slope, band.idle->error));
  if (band.climb) {
    page.add("CLIMBING", fmt::format("{:+.2f} ± {:.2f} K per 10 m/min", 10.0 * band.climb->slope,
                                     10.0 * band.climb->error));
  }
}

void add_trait(Page& page, const char* label, const std::optional<Trait>& trait,
               const std::string& unit) {
  if (!trait) return;
  page.add(label, fmt::format("{:.1f} ± {:.1f} {}, in {} drives", trait->value, trait->error, unit,
                              trait->drives));
}

void add_traits(Page& page, const Traits& traits) {
  if (traits.warm_up) add_trait(page, "WARMS UP", traits.warm_up->rate_k_per_min, "K per minute");
  add_trait(page, "OPENS", traits.opens_c, "°C at the first opening");
  add_trait(page, "SWINGS", traits.amplitude_k, "K either way when it regulates");
  add_trait(page, "HOT IDLE", traits.hottest_idle_c, "°C");
  add_trait(page, "COOLS", traits.best_cooling_k_per_min, "K per minute at best");
  if (traits.dips_per_h && traits.dips_per_h->value > 0.0)
    add_trait(page, "DIPS", traits.dips_per_h, "sudden dips of the reading an hour");
  if (is_restless(traits))
    add_trait(page, "RESTLESS", traits.roughness_k, "K from one ten seconds to the next");
}

void add_earlier(Page& page, const NormalBand& band) {
  if (band.since.empty()) return;
  if (!band.earlier) {
    page.add("BEFORE", fmt::format("no band could be learned from drives before {}", band.since));
    return;
  }
  page.add("BEFORE",
           fmt::format("until {}: {:.1f} °C, give or take {:.1f} K, from {} drive{}; now {:+.1f} K "
                       "in the same conditions",
                       band.since, band.earlier->centre_c, band.earlier->half_width_c,
                       band.earlier->drives, band.earlier->drives == 1 ? "" : "s",
                       moved_since_c(band, *band.earlier)));
}

} // namespace

std::string render_band(const NormalBand& band, const std::vector<LearningDrive>& too_short,
                        const TextStyle& style) {
  Page page(style);
  page.add("BAND", fmt::format("{}: {:.1f} °C, normal running from {:.1f} to {:.1f} °C",
                               band.vehicle, band.centre_c, band.centre_c - band.half_width_c,
                               band.centre_c + band.half_width_c));
  const std::size_t drives = band.drive_count();
  std::string rests = fmt::format("{} drive{}", drives, drives == 1 ? "" : "s");
  rests += fmt::format(" with {} of warm running; spread {:.2f} K between drives, {:.2f} K within",
                       format_duration(warm_s_of(band)), band.between_c, band.within_c);
  page.add("RESTS ON", rests);
  add_conditions(page, band);
  add_traits(page, band.traits);
  if (band.circuit) add_circuit(page, *band.circuit);
  add_earlier(page, band);
  std::vector<std::string> left_out;
  for (const LeftOut& left : band.left_out)
    left_out.push_back(left.drive.source + ": " + left.reason);
  for (const LearningDrive& drive : too_short)
    left_out.push_back(drive.source + ": " + drive.summary.error().message);
  if (band.left_out_before > 0)
    left_out.push_back(fmt::format("{} more, longer ago", band.left_out_before));
  page.add_list("LEFT OUT", left_out);
  page.add_list("NOTES", band.notes);
  return page.take();
}

} // namespace coolband
