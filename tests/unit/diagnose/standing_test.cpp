// SPDX-License-Identifier: Apache-2.0
// What half a trip is judged as flaps; what stands does not.
#include "diagnose/standing.hpp"

#include <doctest/doctest.h>

using namespace coolband;

namespace {

constexpr Standing k_unknown{Condition::undetermined, Action::monitor};
constexpr Standing k_normal{Condition::normal, Action::none};
constexpr Standing k_open{Condition::thermostat_stuck_open, Action::service};
constexpr Standing k_sticking{Condition::thermostat_sticking, Action::service};
constexpr Standing k_hot{Condition::overheating, Action::stop};

} // namespace

TEST_CASE("what calls for more stands after a minute, whatever its name") {
  StandingWatch watch;
  CHECK(watch.standing() == k_unknown);
  CHECK_FALSE(watch.hear(k_open, 600.0));
  CHECK(watch.in_doubt());
  CHECK_FALSE(watch.hear(k_sticking, 630.0));
  CHECK_FALSE(watch.hear(k_open, 659.0));
  CHECK(watch.hear(k_sticking, 660.0));
  CHECK(watch.standing() == k_sticking);
  CHECK_FALSE(watch.in_doubt());
}

TEST_CASE("one judgement to the contrary and the time begins again") {
  StandingWatch watch;
  CHECK_FALSE(watch.hear(k_open, 600.0));
  CHECK_FALSE(watch.hear(k_unknown, 650.0));
  CHECK_FALSE(watch.in_doubt());
  CHECK_FALSE(watch.hear(k_open, 680.0));
  CHECK_FALSE(watch.hear(k_open, 739.0));
  CHECK(watch.hear(k_open, 740.0));
}

TEST_CASE("what calls for no more, or is the same under another name, stands after five minutes") {
  StandingWatch watch;
  CHECK_FALSE(watch.hear(k_normal, 100.0));
  CHECK_FALSE(watch.hear(k_normal, 399.0));
  CHECK(watch.hear(k_normal, 400.0));
  CHECK_FALSE(watch.hear(k_open, 500.0));
  CHECK(watch.hear(k_open, 560.0));
  CHECK_FALSE(watch.hear(k_sticking, 700.0));
  CHECK_FALSE(watch.hear(k_normal, 800.0)); // another one: from here on
  CHECK_FALSE(watch.hear(k_sticking, 1000.0));
  CHECK_FALSE(watch.hear(k_sticking, 1299.0));
  CHECK(watch.hear(k_sticking, 1300.0));
}

TEST_CASE("graver than what stands, in steps") {
  StandingWatch watch;
  CHECK_FALSE(watch.hear(k_open, 0.0));
  CHECK(watch.hear(k_hot, 60.0)); // both call for more than "monitor"
  CHECK(watch.standing() == k_hot);
  CHECK_FALSE(watch.hear(k_open, 90.0));
  CHECK_FALSE(watch.hear(k_open, 389.0));
  CHECK(watch.hear(k_open, 390.0));
}
