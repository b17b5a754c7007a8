// SPDX-License-Identifier: Apache-2.0
// Clocks that turn at random times, the same ones however they are asked.
#include "circuit/trouble.hpp"

#include <algorithm>

namespace coolband {

namespace {

// However short a spell or slug is asked for, time goes on.
constexpr double k_shortest_s = 0.5;

} // namespace

SpellClock::SpellClock(const std::optional<Spells>& spells, double from_s, std::uint64_t seed)
    : spells_(spells), random_(seed) {
  if (spells_) next_s_ = from_s + length_s();
}

double SpellClock::length_s() {
  const double mean_s = std::max(on_ ? spells_->on_s : spells_->off_s, k_shortest_s);
  return mean_s * (0.5 + random_.share());
}

void SpellClock::go_to(double time_s) {
  while (time_s >= next_s_) {
    on_ = !on_;
    next_s_ += length_s();
  }
}

TroubleClock::TroubleClock(const std::optional<TroubleHabit>& habit, double from_s,
                           std::uint64_t seed)
    : habit_(habit), random_(seed) {
  if (!habit_) return;
  next_s_ = from_s;
  const bool quiet_first = habit_->quiet_high_s > 0.0;
  if (quiet_first) next_s_ += between(habit_->quiet_low_s, habit_->quiet_high_s);
}

double TroubleClock::between(double low, double high) {
  return std::max(low + (high - low) * random_.share(), k_shortest_s);
}

void TroubleClock::turn() {
  const bool new_burst = slugs_left_ == 0 && (!now_.burst || habit_->quiet_high_s <= 0.0);
  if (new_burst) {
    const int more = habit_->most_slugs - habit_->fewest_slugs + 1;
    slugs_left_ = habit_->fewest_slugs + static_cast<int>(random_.share() * more);
  }
  now_.burst = slugs_left_ > 0;
  if (!now_.burst) {
    next_s_ += between(habit_->quiet_low_s, habit_->quiet_high_s);
    return;
  }
  --slugs_left_;
  now_.kind = random_.share();
  now_.size = random_.share();
  next_s_ += between(habit_->slug_low_s, habit_->slug_high_s);
}

void TroubleClock::go_to(double time_s) {
  while (time_s >= next_s_) turn();
}

} // namespace coolband
