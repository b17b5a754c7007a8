// SPDX-License-Identifier: Apache-2.0
// The history of a vehicle as text and as `coolband.history/1`.
#include "report/history_report.hpp"

#include "report/json_parts.hpp"

#include "coolband/version.hpp"
#include "report/band_words.hpp"
#include "report/layout.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

std::string entry_words(const HistoryEntry& entry) {
  std::string words = std::string(name_of(entry.kind));
  // A text that begins with its state says it already.
  if (!entry.state.empty() && !entry.text.starts_with(entry.state))
    words += fmt::format(" ({})", entry.state);
  words += ": " + entry.text;
  if (!entry.by.empty()) words += fmt::format(" [{}]", entry.by);
  return words;
}

} // namespace

std::string render_history(const NormalBand& band, const History& history, const TextStyle& style) {
  Page page(style);
  page.add("VEHICLE", band.vehicle.empty() ? "unknown" : band.vehicle);
  std::string normal = limits_words(band) + ", from " + plural(band.drive_count(), "drive");
  if (!band.since.empty()) normal += " since " + band.since;
  page.add("NORMAL", normal);
  page.add_blank();
  if (history.dropped > 0)
    page.add("EARLIER", fmt::format("{} no longer kept", plural(history.dropped, "older event")));
  if (history.entries.empty()) page.add("HISTORY", "nothing is recorded yet");
  for (const HistoryEntry& entry : history.entries) page.add(entry.date, entry_words(entry));
  return page.take();
}

std::string render_history_json(const NormalBand& band, const History& history, int indent) {
  Json json;
  json["schema"] = "coolband.history/1";
  json["tool"] = {{"name", "coolband"}, {"version", version()}};
  json["vehicle"] = {{"id", text_or_null(band.vehicle)}};
  json["since"] = text_or_null(band.since);
  json["dropped"] = history.dropped;
  json["entries"] = Json::array();
  for (const HistoryEntry& entry : history.entries) {
    json["entries"].push_back({{"date", entry.date},
                               {"kind", name_of(entry.kind)},
                               {"text", entry.text},
                               {"state", text_or_null(entry.state)},
                               {"by", text_or_null(entry.by)}});
  }
  return json_text(json, indent);
}

} // namespace coolband
