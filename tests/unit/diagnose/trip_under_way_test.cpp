// SPDX-License-Identifier: Apache-2.0
// When a trip under way is judged again, and an alarm that stands above the judgements.
#include "diagnose/trip_under_way.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

Judgement judgement(Condition condition, Action action) {
  Judgement made;
  made.condition = condition;
  made.action = action;
  made.boiling.point_c = 128.0;
  return made;
}

Heat heat_at(double coolant_c, double rate = 0.0) {
  Heat heat;
  heat.coolant_c = coolant_c;
  heat.rate_k_per_min = rate;
  heat.spent = (coolant_c - 80.0) / 48.0;
  return heat;
}

} // namespace

TEST_CASE("judged every half minute in doubt, more seldom while nothing changes") {
  TripUnderWay trip;
  const auto judge_at = [&](double time_s, Condition condition, Action action) {
    CHECK(trip.is_due(time_s));
    trip.hear(judgement(condition, action), made_band(), time_s);
    CHECK_FALSE(trip.is_due(time_s + 29.0));
  };
  judge_at(0.0, Condition::undetermined, Action::monitor);
  CHECK(trip.is_due(30.0));
  judge_at(30.0, Condition::undetermined, Action::monitor);
  CHECK_FALSE(trip.is_due(89.0));
  judge_at(90.0, Condition::undetermined, Action::monitor);
  CHECK_FALSE(trip.is_due(149.0)); // a minute at most
  judge_at(2400.0, Condition::undetermined, Action::monitor);
  CHECK_FALSE(trip.is_due(2519.0)); // two of them
  judge_at(2520.0, Condition::thermostat_stuck_open, Action::service);
  CHECK(trip.is_due(2550.0));
}

TEST_CASE("a long trip is judged at a hundredth of its length") {
  TripUnderWay trip;
  double time_s = 36000.0;
  for (int i = 0; i < 8; ++i) {
    trip.hear(judgement(Condition::undetermined, Action::monitor), made_band(), time_s);
    CHECK_FALSE(trip.is_due(time_s + 29.0));
    while (!trip.is_due(time_s)) time_s += 10.0;
  }
  trip.hear(judgement(Condition::undetermined, Action::monitor), made_band(), time_s);
  CHECK_FALSE(trip.is_due(time_s + 360.0));
  CHECK(trip.is_due(time_s + 400.0));
}

TEST_CASE("the scale of heat comes of the band and of what the trip boils at") {
  TripUnderWay trip;
  CHECK_FALSE(trip.scale());
  trip.hear(judgement(Condition::normal, Action::none), made_band(), 0.0);
  REQUIRE(trip.scale());
  CHECK(trip.scale()->level_c == made_band().centre_c);
  CHECK(trip.scale()->boils_c == 128.0);
  NormalBand own = made_band(); // settled at the heat of its fault
  own.origin = BandOrigin::trip;
  own.centre_c = 118.0;
  trip.hear(judgement(Condition::normal, Action::none), own, 60.0);
  CHECK(trip.scale()->level_c == 100.0);
  trip.hear(judgement(Condition::normal, Action::none), std::nullopt, 90.0);
  CHECK(trip.scale()->level_c == 100.0);
}

TEST_CASE("an alarm is told at once and once, and is over after two cool minutes") {
  TripUnderWay trip;
  trip.hear(judgement(Condition::undetermined, Action::monitor), made_band(), 600.0);
  CHECK_FALSE(trip.news());
  CHECK_FALSE(trip.calls_for_alarm(heat_at(110.0)));
  CHECK(trip.calls_for_alarm(heat_at(118.0)));
  trip.raise_alarm(heat_at(118.0));
  CHECK_FALSE(trip.calls_for_alarm(heat_at(120.0)));
  auto news = trip.news();
  REQUIRE(news);
  CHECK(news->before == Standing{Condition::undetermined, Action::monitor});
  CHECK(news->now == Standing{Condition::overheating, Action::stop});
  CHECK_FALSE(trip.news());
  trip.let_cool(heat_at(100.0), 700.0);
  trip.let_cool(heat_at(101.0, 1.0), 760.0); // rising again
  trip.let_cool(heat_at(100.0), 800.0);
  trip.let_cool(heat_at(90.0), 919.0);
  CHECK(trip.alarm());
  trip.let_cool(heat_at(90.0), 920.0);
  CHECK_FALSE(trip.alarm());
  news = trip.news();
  REQUIRE(news);
  CHECK(news->now == Standing{Condition::undetermined, Action::monitor});
}

TEST_CASE("a cause that stands is named in the alarm; a sensor to blame raises none") {
  TripUnderWay trip;
  const Judgement shut = judgement(Condition::thermostat_stuck_closed, Action::service);
  trip.hear(shut, made_band(), 600.0);
  trip.hear(shut, made_band(), 660.0);
  CHECK(trip.news()->now.condition == Condition::thermostat_stuck_closed);
  trip.raise_alarm(heat_at(120.0));
  CHECK(trip.news()->now == Standing{Condition::thermostat_stuck_closed, Action::stop});
  TripUnderWay other;
  other.hear(judgement(Condition::sensor_fault, Action::service), made_band(), 600.0);
  other.raise_alarm(heat_at(140.0));
  CHECK_FALSE(other.alarm());
  CHECK_FALSE(other.news());
  CHECK_FALSE(other.calls_for_alarm(heat_at(140.0))); // not again before the next judgement
  other.hear(judgement(Condition::overheating, Action::service), made_band(), 630.0);
  CHECK(other.calls_for_alarm(heat_at(140.0)));
}
