// SPDX-License-Identifier: Apache-2.0
// What is said of a trip under way, and when it changes: half a trip is judged now this way, now
// that, and a person shall hear of what lasts.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <optional>

namespace coolband {

/// As a trip stands before anything is known of it, by default.
struct Standing {
  Condition condition = Condition::undetermined;
  Action action = Action::monitor;
  bool operator==(const Standing&) const = default;
};

/// All common practice, no source; what they do to false alerts and delays is measured in
/// docs/watch.md.
struct StandingOptions {
  double graver_s = 60.0; ///< what calls for more than what stands must last so long
  double other_s = 300.0; ///< what calls for no more, or has another name
};

/// Follows the judgements of one trip.
class StandingWatch {
 public:
  explicit StandingWatch(const StandingOptions& options = {}) : options_(options) {}

  /// What the trip is judged as, `time_s` after its start. True when it stands from now on.
  bool hear(const Standing& judged, double time_s);
  [[nodiscard]] const Standing& standing() const { return standing_; }
  /// Something else than what stands was judged last: it is to be looked at again soon.
  [[nodiscard]] bool in_doubt() const { return since_s_.has_value(); }

 private:
  StandingOptions options_;
  Standing standing_;
  Standing candidate_;
  std::optional<double> since_s_;       ///< of `candidate_`
  std::optional<double> graver_from_s_; ///< since when all that was judged calls for more
};

} // namespace coolband
