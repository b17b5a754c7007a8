// SPDX-License-Identifier: Apache-2.0
// What happened to a vehicle, among the kept fields of its band.
#include "band/history.hpp"

#include "band/json_fields.hpp"
#include "coolband/core/timestamp.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <tuple>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<std::string_view, 3> k_kinds{"finding", "service", "verification"};
constexpr const char* k_list = "history";
constexpr const char* k_trips = "trips";
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

Json text_or_nothing(const std::string& text) { return text.empty() ? Json() : Json(text); }

Json entry_json(const HistoryEntry& entry) {
  Json json{{"date", entry.date},
            {"kind", name_of(entry.kind)},
            {"text", entry.text},
            {"state", text_or_nothing(entry.state)},
            {"by", entry.by}};
  for (const EventTrip& trip : entry.trips) {
    json[k_trips].push_back(
        {{"start", text_or_nothing(trip.start)}, {"source", text_or_nothing(trip.source)}});
  }
  return json;
}

/// Files of earlier versions have none.
std::vector<EventTrip> trips_from(FieldReader& reader, const Json& entry) {
  std::vector<EventTrip> trips;
  const auto list = entry.find(k_trips);
  if (list == entry.end() || list->is_null()) return trips;
  if (!list->is_array() || list->size() > k_history_trips) {
    reader.complain(k_trips, fmt::format("must be a list of {} at most", k_history_trips));
    return trips;
  }
  for (const Json& json : *list) {
    if (!json.is_object()) {
      reader.complain(k_trips, "must hold objects");
      break;
    }
    EventTrip trip{reader.text(json, "start").value_or(""),
                   reader.text(json, "source").value_or("")};
    if (trip != EventTrip{}) trips.push_back(std::move(trip));
  }
  return trips;
}

HistoryEntry entry_from(FieldReader& reader, const Json& json) {
  HistoryEntry entry;
  const std::string date = reader.required_text(json, "date");
  entry.date = day_of(date).value_or("");
  if (!reader.complaint() && (entry.date.empty() || entry.date != date))
    reader.complain("date", "is no day as YYYY-MM-DD");
  const auto kind = kind_named(reader.required_text(json, "kind"));
  if (!kind) reader.complain("kind", "is none of finding, service, verification");
  entry.kind = kind.value_or(EventKind::finding);
  entry.text = reader.required_text(json, "text");
  entry.state = reader.text(json, "state").value_or("");
  entry.by = reader.text(json, "by").value_or("");
  entry.trips = trips_from(reader, json);
  return entry;
}

Error in_entry(Error error, std::size_t number) {
  error.message = fmt::format("entry {} of \"history\": {}", number, error.message);
  return error;
}

bool has_days(const std::vector<EventTrip>& trips) {
  return std::all_of(trips.begin(), trips.end(),
                     [](const EventTrip& trip) { return day_of(trip.start).has_value(); });
}

bool same_trips(const HistoryEntry& a, const HistoryEntry& b) {
  // A clock without a date, or a counter, begins alike on many days, and so do names of files.
  if (a.date != b.date && !(has_days(a.trips) && has_days(b.trips))) return false;
  return std::equal(a.trips.begin(), a.trips.end(), b.trips.begin(), b.trips.end(),
                    [](const EventTrip& x, const EventTrip& y) {
                      // What came through a pipe has no name.
                      const bool unnamed = x.source.empty() || y.source.empty();
                      return x.start == y.start && (unnamed || x.source == y.source);
                    });
}

/// As far as can be told where one of them names no trips.
bool alike(const HistoryEntry& a, const HistoryEntry& b) {
  return (a.trips.empty() || b.trips.empty()) && a.date == b.date && a.text == b.text &&
         a.state == b.state;
}

/// The trips in the order of time, the latest where they are too many.
void keep_latest(std::vector<EventTrip>& trips) {
  for (EventTrip& trip : trips) trip.source = tidy(trip.source);
  std::sort(trips.begin(), trips.end());
  if (trips.size() > k_history_trips)
    trips.erase(trips.begin(), trips.end() - static_cast<std::ptrdiff_t>(k_history_trips));
}

bool is_normal_finding(const HistoryEntry& entry) {
  return entry.kind == EventKind::finding && entry.state == "normal";
}

/// Which of two goes first. A complete order: recording many events again, in whatever order, keeps
/// the same ones of them.
bool goes_before(const HistoryEntry& a, const HistoryEntry& b) {
  const auto rank = [](const HistoryEntry& e) {
    return std::tie(e.date, e.trips, e.kind, e.text, e.state, e.by);
  };
  if (is_normal_finding(a) != is_normal_finding(b)) return is_normal_finding(a);
  return rank(a) < rank(b);
}

using Entries = std::vector<HistoryEntry>;

void insert_by_date(Entries& entries, HistoryEntry entry) {
  const auto place = std::upper_bound(
      entries.begin(), entries.end(), entry,
      [](const HistoryEntry& a, const HistoryEntry& b) { return a.date < b.date; });
  entries.insert(place, std::move(entry));
}

/// The entry of the same event; the end where there is none.
Entries::iterator same_event(Entries& entries, const HistoryEntry& entry) {
  const auto first = [&](const auto& same) {
    return std::find_if(entries.begin(), entries.end(), [&](const HistoryEntry& other) {
      return other.kind == entry.kind && same(other, entry);
    });
  };
  const auto named = first([](const HistoryEntry& a, const HistoryEntry& b) {
    return !a.trips.empty() && !b.trips.empty() && same_trips(a, b);
  });
  return named != entries.end() ? named : first(alike);
}

/// What is known of the trips stays known.
void keep_names(HistoryEntry& entry, const HistoryEntry& old) {
  if (entry.trips.empty()) entry.trips = old.trips;
  for (std::size_t i = 0; i < old.trips.size(); ++i)
    if (entry.trips[i].source.empty()) entry.trips[i].source = old.trips[i].source;
}

Kept replace(Entries& entries, Entries::iterator old, HistoryEntry entry) {
  keep_names(entry, *old);
  if (*old == entry) return Kept::as_it_was;
  if (old->date == entry.date) {
    *old = std::move(entry);
    return Kept::replaced;
  }
  entries.erase(old);
  insert_by_date(entries, std::move(entry));
  return Kept::replaced;
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
  if (reader.complaint()) return *reader.complaint();
  std::size_t number = 0;
  for (const Json& entry : list) {
    ++number;
    if (entry.is_object())
      history.entries.push_back(entry_from(reader, entry));
    else
      reader.complain(k_list, "must hold objects");
    if (reader.complaint()) return in_entry(*reader.complaint(), number);
  }
  return history;
}

Kept add_event(History& history, HistoryEntry entry) {
  entry.text = tidy(entry.text);
  entry.by = tidy(entry.by);
  keep_latest(entry.trips);
  auto& entries = history.entries;
  const auto old = same_event(entries, entry);
  if (old != entries.end()) return replace(entries, old, std::move(entry));
  while (entries.size() >= k_history_entries) {
    const auto first = std::min_element(entries.begin(), entries.end(), goes_before);
    if (goes_before(entry, *first)) return Kept::not_kept;
    entries.erase(first);
    ++history.dropped;
  }
  insert_by_date(entries, std::move(entry));
  return Kept::added;
}

void store_history(NormalBand& band, const History& history) {
  Json kept = band.extra_json.empty() ? Json::object() : Json::parse(band.extra_json);
  kept[k_before] = history.dropped;
  kept[k_list] = Json::array();
  for (const HistoryEntry& entry : history.entries) kept[k_list].push_back(entry_json(entry));
  band.extra_json = kept.dump(-1, ' ', false, Json::error_handler_t::replace);
}

} // namespace coolband
