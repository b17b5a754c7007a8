// SPDX-License-Identifier: Apache-2.0
// Band files: read, written again, with the history that rides along, and shown.
#include "coolband/band/band_file.hpp"

#include "band/history.hpp"
#include "coolband/report/report.hpp"
#include "fuzz/file_properties.hpp"
#include "fuzz/properties.hpp"
#include "report/history_report.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband::testing {

namespace {

const std::string k_band_name = "van.band.json";

void check_history(NormalBand band) {
  auto history = history_of(band, k_band_name);
  if (!history) return check_file_error(history.error(), "", k_band_name);
  const HistoryEntry entry{"2031-05-06", EventKind::service, "new thermostat", "", "fuzz"};
  if (add_event(*history, entry) != Kept::added) return;
  store_history(band, *history);
  const auto again = parse_band(check_band_file(band), k_band_name);
  const auto kept = history_of(*again, k_band_name);
  require(kept.ok(), "a history that is stored can be read");
  require(kept->entries == history->entries && kept->dropped == history->dropped,
          "a history is kept as it is");
  render_history(*again, *kept, {});
  const auto json = nlohmann::json::parse(render_history_json(*again, *kept, 2), nullptr, false);
  require(!json.is_discarded(), "a history is written as JSON");
}

void check_numbers(const NormalBand& band) {
  Told told;
  for (const double number : {band.centre_c, band.centre_error_c, band.load_error_c_per_pct,
                              band.load_lag_s, band.between_c, band.within_c, band.half_width_c,
                              band.freedom, band.correlation_s, band.spread_c()})
    told.number(number);
  for (const double factor : band.widening) told.number(factor);
  told.require_finite();
  for (const Conditions& at : {Conditions{}, Conditions{50.0, 20.0, 60.0, 0.1, 5.0},
                               Conditions{100.0, -40.0, {}, {}, {}}}) {
    const Prediction prediction = predict(band, at);
    require(std::isfinite(prediction.centre_c) && std::isfinite(prediction.lower_c) &&
                std::isfinite(prediction.upper_c) && std::isfinite(prediction.effective_count),
            "a prediction is finite");
    require(prediction.lower_c <= prediction.centre_c && prediction.centre_c <= prediction.upper_c,
            "the centre lies within the band");
  }
}

} // namespace

void run_band(std::string_view bytes) {
  const std::string text(bytes);
  const auto band = parse_band(text, k_band_name);
  if (!band) return check_file_error(band.error(), text, k_band_name);
  const auto again = parse_band(check_band_file(*band), k_band_name);
  require(again->drives.size() == band->drives.size() &&
              again->left_out.size() == band->left_out.size() &&
              again->folded.size() == band->folded.size() && again->notes == band->notes,
          "nothing of a band is lost");
  check_numbers(*band);
  check_history(*band);
  render_band(*band, {}, {});
  draw_band(*band);
}

} // namespace coolband::testing
