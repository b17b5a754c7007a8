// SPDX-License-Identifier: Apache-2.0
// What happened to a vehicle: findings, services, verifications. It rides along in the band file
// and is no part of what is normal, so it lives among the band's kept fields
// (`NormalBand::extra_json`): `learn --update` keeps it, and no judgement depends on it.
#pragma once

#include "coolband/band/normal_band.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

enum class EventKind : std::uint8_t { finding, service, verification };
std::string_view name_of(EventKind kind);

struct HistoryEntry {
  std::string date; ///< "2031-05-06"
  EventKind kind = EventKind::finding;
  std::string text;
  std::string state; ///< condition of a finding, state of a verification; empty for a service
  std::string by;    ///< who or what wrote it

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

/// "2031-05-06" at the beginning of `text`, if there is such a day.
std::optional<std::string> day_of(std::string_view text);

/// The history in a band; empty where there is none. Error (kind usage, names `file`) where the
/// fields are not what this version writes.
Result<History> history_of(const NormalBand& band, const std::string& file);

/// Adds an entry in its place by date; false when it is there already. Where there are too many,
/// findings that all was normal go first, the oldest of them, then the oldest entry.
bool add_event(History& history, HistoryEntry entry);

void store_history(NormalBand& band, const History& history);

} // namespace coolband
