// SPDX-License-Identifier: Apache-2.0
// What `learn` tells a person of a new band.
#include "coolband/report/report.hpp"
#include "report/layout.hpp"

#include <fmt/core.h>

namespace coolband {

std::string render_band(const NormalBand& band, const std::vector<LearningDrive>& too_short,
                        const TextStyle& style) {
  Page page(style);
  page.add("BAND", fmt::format("{}: {:.1f} °C, normal running from {:.1f} to {:.1f} °C",
                               band.vehicle, band.centre_c, band.centre_c - band.half_width_c,
                               band.centre_c + band.half_width_c));
  std::string rests =
      fmt::format("{} drive{}", band.drives.size(), band.drives.size() == 1 ? "" : "s");
  double warm_s = 0.0;
  for (const DriveSummary& drive : band.drives) warm_s += drive.warm_s;
  rests += fmt::format(" with {} of warm running; spread {:.2f} K between drives, {:.2f} K within",
                       format_duration(warm_s), band.between_c, band.within_c);
  page.add("RESTS ON", rests);
  if (band.load_c_per_pct && band.reference_load_pct) {
    page.add("LOAD", fmt::format("{:+.3f} K per % from {:.0f} %; {:.0f} to {:.0f} % seen",
                                 *band.load_c_per_pct, *band.reference_load_pct,
                                 band.load_seen_pct->low, band.load_seen_pct->high));
  }
  if (band.ambient_c_per_c && band.reference_ambient_c) {
    page.add("AMBIENT", fmt::format("{:+.3f} K per K from {:.0f} °C; {:.0f} to {:.0f} °C seen",
                                    *band.ambient_c_per_c, *band.reference_ambient_c,
                                    band.ambient_seen_c->low, band.ambient_seen_c->high));
  }
  std::vector<std::string> left_out;
  for (const LeftOut& left : band.left_out)
    left_out.push_back(left.drive.source + ": " + left.reason);
  for (const LearningDrive& drive : too_short)
    left_out.push_back(drive.source + ": " + drive.summary.error().message);
  page.add_list("LEFT OUT", left_out);
  page.add_list("NOTES", band.notes);
  return page.take();
}

} // namespace coolband
