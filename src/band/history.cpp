// SPDX-License-Identifier: Apache-2.0
// What happened to a vehicle, among the kept fields of its band.
#include "band/history.hpp"

#include "band/json_fields.hpp"
#include "coolband/core/timestamp.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<std::string_view, 3> k_kinds{"finding", "service", "verification"};
constexpr const char* k_list = "history";
constexpr const char* k_before = "history_before";

std::optional<EventKind> kind_named(std::string_view name) {
  const auto* found = std::find(k_kinds.begin(), k_kinds.end(), name);
  if (found == k_kinds.end()) return std::nullopt;
  return static_cast<EventKind>(found - k_kinds.begin());
}

/// One line, whatever a user typed, and not longer than a line should be.
std::string tidy(const std::string& text) {
  std::string clean = printable(text);
  std::size_t points = 0;
  for (std::size_t i = 0; i < clean.size(); ++i) {
    const bool begins = (static_cast<unsigned char>(clean[i]) & 0xC0U) != 0x80U;
    if (begins && ++points > k_history_text) {
      clean.resize(i);
      break;
    }
  }
  return clean;
}

Json entry_json(const HistoryEntry& entry) {
  return {{"date", entry.date},
          {"kind", name_of(entry.kind)},
          {"text", entry.text},
          {"state", entry.state.empty() ? Json(nullptr) : Json(entry.state)},
          {"by", entry.by}};
}

HistoryEntry entry_from(FieldReader& reader, const Json& json) {
  HistoryEntry entry;
  const std::string date = reader.required_text(json, "date");
  entry.date = day_of(date).value_or("");
  if (!reader.complaint() && (entry.date.empty() || entry.date != date))
    reader.complain("date", "in \"history\" is no day as YYYY-MM-DD");
  const auto kind = kind_named(reader.required_text(json, "kind"));
  if (!kind) reader.complain("kind", "in \"history\" is none of finding, service, verification");
  entry.kind = kind.value_or(EventKind::finding);
  entry.text = reader.required_text(json, "text");
  entry.state = reader.text(json, "state").value_or("");
  entry.by = reader.text(json, "by").value_or("");
  return entry;
}

bool is_normal_finding(const HistoryEntry& entry) {
  return entry.kind == EventKind::finding && entry.state == "normal";
}

void drop_one(History& history) {
  auto oldest = std::find_if(history.entries.begin(), history.entries.end(), is_normal_finding);
  if (oldest == history.entries.end()) oldest = history.entries.begin();
  history.entries.erase(oldest);
  ++history.dropped;
}

} // namespace

std::string_view name_of(EventKind kind) { return k_kinds.at(static_cast<std::size_t>(kind)); }

std::optional<std::string> day_of(std::string_view text) {
  if (text.size() < 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto number = [&](std::size_t from, std::size_t size) {
    int value = 0;
    const char* const end = text.data() + from + size;
    const auto [stop, code] = std::from_chars(text.data() + from, end, value);
    return code == std::errc() && stop == end ? value : 0;
  };
  if (!days_from_date(number(0, 4), number(5, 2), number(8, 2))) return std::nullopt;
  return std::string(text.substr(0, 10));
}

Result<History> history_of(const NormalBand& band, const std::string& file) {
  History history;
  if (band.extra_json.empty()) return history;
  const Json kept = Json::parse(band.extra_json);
  FieldReader reader(file);
  history.dropped = reader.count(kept, k_before);
  const Json list = kept.value(k_list, Json::array());
  if (!list.is_array()) reader.complain(k_list, "must be a list");
  for (const Json& entry : list) {
    if (entry.is_object())
      history.entries.push_back(entry_from(reader, entry));
    else
      reader.complain(k_list, "must hold objects");
  }
  if (reader.complaint()) return *reader.complaint();
  return history;
}

bool add_event(History& history, HistoryEntry entry) {
  entry.text = tidy(entry.text);
  entry.by = tidy(entry.by);
  auto& entries = history.entries;
  if (std::find(entries.begin(), entries.end(), entry) != entries.end()) return false;
  const auto place = std::upper_bound(
      entries.begin(), entries.end(), entry,
      [](const HistoryEntry& a, const HistoryEntry& b) { return a.date < b.date; });
  entries.insert(place, std::move(entry));
  while (entries.size() > k_history_entries) drop_one(history);
  return true;
}

void store_history(NormalBand& band, const History& history) {
  Json kept = band.extra_json.empty() ? Json::object() : Json::parse(band.extra_json);
  kept[k_before] = history.dropped;
  kept[k_list] = Json::array();
  for (const HistoryEntry& entry : history.entries) kept[k_list].push_back(entry_json(entry));
  band.extra_json = kept.dump(-1, ' ', false, Json::error_handler_t::replace);
}

} // namespace coolband
