// SPDX-License-Identifier: Apache-2.0
// What of a fault comes and goes at random: spells, slugs of gas, loose contacts, friction.
#pragma once

#include "numeric/splitmix.hpp"

#include <cstdint>
#include <limits>
#include <optional>

namespace coolband {

/// In spells: on and off in turn, beginning with on, each of a random length between half and one
/// and a half times its mean (which counts as half a second at least). None: always on.
struct Spells {
  double on_s = 60.0;
  double off_s = 120.0;
};

class SpellClock {
 public:
  SpellClock(const std::optional<Spells>& spells, double from_s, std::uint64_t seed);
  void go_to(double time_s);
  [[nodiscard]] bool on() const { return on_; }
  [[nodiscard]] double next_s() const { return next_s_; }

 private:
  [[nodiscard]] double length_s();

  std::optional<Spells> spells_;
  SplitMix random_;
  bool on_ = true;
  double next_s_ = std::numeric_limits<double>::infinity();
};

/// One draw of trouble: what is the matter until it changes.
struct Trouble {
  bool burst = false; ///< trouble now; between bursts all is quiet
  double kind = 0.0;  ///< 0..1, drawn for each slug
  double size = 0.0;  ///< 0..1, likewise
};

/// Bursts of slugs with quiet times between them. Lengths in seconds, uniform between two bounds.
struct TroubleHabit {
  double quiet_low_s = 0.0; ///< both 0: never quiet
  double quiet_high_s = 0.0;
  double slug_low_s = 1.0;
  double slug_high_s = 5.0;
  int fewest_slugs = 1;
  int most_slugs = 1;
};

class TroubleClock {
 public:
  /// No habit: nothing ever happens.
  TroubleClock(const std::optional<TroubleHabit>& habit, double from_s, std::uint64_t seed);
  void go_to(double time_s);
  [[nodiscard]] const Trouble& now() const { return now_; }
  [[nodiscard]] double next_s() const { return next_s_; }

 private:
  void turn();
  [[nodiscard]] double between(double low, double high);

  std::optional<TroubleHabit> habit_;
  SplitMix random_;
  Trouble now_;
  int slugs_left_ = 0;
  double next_s_ = std::numeric_limits<double>::infinity();
};

} // namespace coolband
