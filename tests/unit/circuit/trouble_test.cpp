// SPDX-License-Identifier: Apache-2.0
// Clocks of spells and bursts: their lengths, and that they do not depend on how they are asked.
#include "circuit/trouble.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace coolband;

namespace {

struct Turn {
  double at_s;
  bool on;
};

/// When the spells turned, up to 20000 s.
std::vector<Turn> turns_of(SpellClock clock) {
  std::vector<Turn> turns;
  while (clock.next_s() < 20000.0) {
    const double at_s = clock.next_s();
    clock.go_to(at_s);
    turns.push_back({at_s, clock.on()});
  }
  return turns;
}

} // namespace

TEST_CASE("without spells a fault is always on") {
  SpellClock clock(std::nullopt, 10.0, 1);
  clock.go_to(1e9);
  CHECK(clock.on());
}

TEST_CASE("spells begin with on, take turns and have lengths about their means") {
  const std::vector<Turn> turns = turns_of(SpellClock(Spells{40.0, 100.0}, 500.0, 9));
  REQUIRE(turns.size() > 200);
  double before_s = 500.0;
  bool on = true;
  double on_s = 0.0;
  double off_s = 0.0;
  for (const Turn& turn : turns) {
    const double length_s = turn.at_s - before_s;
    (on ? on_s : off_s) += length_s;
    CHECK(length_s >= (on ? 20.0 : 50.0));
    CHECK(length_s <= (on ? 60.0 : 150.0));
    CHECK(turn.on != on);
    on = turn.on;
    before_s = turn.at_s;
  }
  CHECK(on_s / off_s == doctest::Approx(0.4).epsilon(0.1));
}

TEST_CASE("spells without length still let time go on") {
  SpellClock clock(Spells{0.0, -3.0}, 0.0, 1);
  clock.go_to(1000.0);
  CHECK(clock.next_s() > 1000.0);
}

TEST_CASE("asked often or seldom, the clock says the same") {
  SpellClock often(Spells{5.0, 9.0}, 0.0, 4);
  TroubleClock slugs(TroubleHabit{20.0, 60.0, 1.0, 5.0, 3, 8}, 0.0, 4);
  for (double t = 0.0; t <= 3000.0; t += 0.25) {
    often.go_to(t);
    slugs.go_to(t);
  }
  SpellClock seldom(Spells{5.0, 9.0}, 0.0, 4);
  seldom.go_to(3000.0);
  CHECK(often.on() == seldom.on());
  CHECK(often.next_s() == seldom.next_s());
  TroubleClock once(TroubleHabit{20.0, 60.0, 1.0, 5.0, 3, 8}, 0.0, 4);
  once.go_to(3000.0);
  CHECK(slugs.next_s() == once.next_s());
  CHECK(slugs.now().size == once.now().size);
}

TEST_CASE("bursts are of several slugs and end in quiet") {
  TroubleClock clock(TroubleHabit{20.0, 60.0, 1.0, 5.0, 3, 8}, 0.0, 6);
  CHECK_FALSE(clock.now().burst);
  int slugs = 0;
  int bursts = 0;
  while (clock.next_s() < 50000.0) {
    clock.go_to(clock.next_s());
    if (clock.now().burst) {
      ++slugs;
      CHECK(clock.now().size >= 0.0);
      CHECK(clock.now().size < 1.0);
    } else {
      CHECK(slugs >= 3);
      CHECK(slugs <= 8);
      slugs = 0;
      ++bursts;
    }
  }
  CHECK(bursts > 500);
}

TEST_CASE("a habit without quiet never rests; no habit never stirs") {
  TroubleClock restless(TroubleHabit{0.0, 0.0, 20.0, 60.0, 1, 1}, 0.0, 2);
  for (double t = 0.0; t < 5000.0; t += 1.0) {
    restless.go_to(t);
    CHECK(restless.now().burst);
  }
  TroubleClock none(std::nullopt, 0.0, 2);
  none.go_to(1e9);
  CHECK_FALSE(none.now().burst);
}
