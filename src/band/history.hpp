// SPDX-License-Identifier: Apache-2.0
// What happened to a vehicle: findings, services, verifications. It rides along in the band file
// and is no part of what is normal, so it lives among the band's kept fields
// (`NormalBand::extra_json`): `learn --update` keeps it, and no judgement depends on it.
#pragma once

#include "coolband/band/normal_band.hpp"

#include <compare>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

enum class EventKind : std::uint8_t { finding, service, verification };
std::string_view name_of(EventKind kind);

/// Which drive an entry is of.
struct EventTrip {
  std::string start;  ///< instant as text; empty without a clock
  std::string source; ///< file name, with the trip's number when it holds several; empty: unnamed

  auto operator<=>(const EventTrip&) const = default;
};

struct HistoryEntry {
  std::string date; ///< "2031-05-06"
  EventKind kind = EventKind::finding;
  std::string text;
  std::string state; ///< condition of a finding, state of a verification; empty for a service
  std::string by;    ///< who or what wrote it
  /// Of a finding its trip, of a verification the drives after; empty where they are not known
  /// (service, log without name and clock, file of an earlier version).
  std::vector<EventTrip> trips = {};

  bool operator==(const HistoryEntry&) const = default;
};

struct History {
  std::vector<HistoryEntry> entries; ///< by date, the latest last
  std::size_t dropped = 0;           ///< older ones, of which only their number is kept
};

/// Entries that a band file keeps.
inline constexpr std::size_t k_history_entries = 100;
/// Longer texts are cut, code points.
inline constexpr std::size_t k_history_text = 300;
/// Trips that an entry names, the latest.
inline constexpr std::size_t k_history_trips = 40;

/// "2031-05-06" at the beginning of `text`, if there is such a day.
std::optional<std::string> day_of(std::string_view text);

/// The history in a band; empty where there is none. Error (kind usage, names `file`) where the
/// fields are not what this version writes.
Result<History> history_of(const NormalBand& band, const std::string& file);

/// What became of an entry that was to be added.
enum class Kept : std::uint8_t {
  added,
  replaced, ///< an entry of the same event
  as_it_was,
  not_kept, ///< the history is full of others that are kept rather
};

/// Adds an entry in its place by date, or puts it in place of one of the same event. Two entries of
/// a kind are of the same event where they are of the same trips (and of the same day, where the
/// trips have no date), whatever else they say; without trips, where day, text and state are equal.
/// Where there are too many, findings that all was normal go first, the oldest of them, then the
/// oldest entry; what goes is counted, unless it is the new one, which was never in it.
Kept add_event(History& history, HistoryEntry entry);

void store_history(NormalBand& band, const History& history);

} // namespace coolband
