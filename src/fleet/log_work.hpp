// SPDX-License-Identifier: Apache-2.0
// The logs of one vehicle while it is being judged: what is known of each from earlier, what has to
// be read, and what is kept in memory meanwhile.
#pragma once

#include "coolband/analyse.hpp"
#include "fleet/fleet_settings.hpp"
#include "fleet/store.hpp"
#include "fleet/vehicle_record.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// A log in memory.
struct HeldLog {
  Recording recording;
  std::vector<Trip> trips; ///< found without a band
};

struct LogWork {
  LogRecord record;
  const LogRecord* same = nullptr; ///< the earlier record, where the content is still the same
  std::size_t old_index = 0;       ///< of that record among the earlier ones
  bool refused = false;            ///< cannot be used; the record says why
  bool judged = false;             ///< anew, in this run
  std::size_t offset = 0;          ///< of its reports among the new ones
  std::size_t length = 0;
  std::shared_ptr<HeldLog> held; ///< null when there was no room
};

/// Bytes of recordings that are held per vehicle at work; others are read again when needed.
inline constexpr std::size_t k_held_bytes = std::size_t{4} << 20U;

class LogShelf {
 public:
  /// `vehicle` is null unless logs hold several vehicles.
  LogShelf(const FleetSettings& settings, const std::string* vehicle)
      : settings_(settings), vehicle_(vehicle) {}

  /// Looks at every log; reads none whose stamp is known from earlier.
  std::vector<LogWork> look_at(const std::vector<std::string>& paths,
                               const VehicleRecord* earlier) const;

  /// The log, read or held. Null where it cannot be used: then the record says why. A log that is
  /// not what it was when it was read before is not used.
  std::shared_ptr<HeldLog> open(LogWork& work);
  void release(LogWork& work);

  [[nodiscard]] const std::string* vehicle() const { return vehicle_; }

 private:
  std::optional<std::string> refusal(const Recording& recording) const;
  void note_content(LogWork& work, const FileStamp& stamp, const std::string& hash,
                    bool changed_meanwhile) const;

  const FleetSettings& settings_;
  const std::string* vehicle_;
  std::size_t held_bytes_ = 0;
};

} // namespace coolband
