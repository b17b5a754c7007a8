// SPDX-License-Identifier: Apache-2.0
// What a log can show follows from what is in it.
#include "report/log_scope.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Words = std::vector<std::string>;

bool says(const Words& list, const std::string& words) {
  return std::any_of(list.begin(), list.end(),
                     [&](const auto& line) { return line.find(words) != std::string::npos; });
}

TripFinding finding_of(Trip trip) {
  TripFinding finding{std::move(trip), made_band(), {}};
  finding.judgement = judged(finding.trip);
  return finding;
}

LogScope scope(const Trip& trip) { return scope_of({finding_of(trip)}); }

constexpr Stretch k_cold{30.0F, 35.0F, 50.0F, 15.0F, Phase::warm_up};
constexpr Stretch k_warm{};
constexpr Stretch k_idle{82.0F, 15.0F, 0.0F};
constexpr Stretch k_climb{84.0F, 75.0F, 60.0F};

Trip full_trip() {
  Trip trip = MadeTrip{}.add(40, k_cold).add(60, k_warm).add(20, k_idle).add(40, k_climb).take();
  trip.warm_ups = {{0.0, 20.0, 400.0, {}, {}, {}, {}}};
  return trip;
}

} // namespace

TEST_CASE("a drive with everything in it can show every fault, and asks for no drive") {
  const LogScope full = scope(full_trip());
  for (const char* words : {"too hot or too cold", "hangs open", "sticks", "fan that does not cool",
                            "restricted radiator", "distance to boiling", "dropouts"})
    CHECK_MESSAGE(says(full.can_judge, words), words);
  for (const char* words : {"idling", "cold start", "sustained load", "more columns"})
    CHECK_MESSAGE(!says(full.log_next, words), words);
  CHECK(says(full.log_next, "--profile")); // mix and cap were assumed
}

TEST_CASE("without a hot idle the fan cannot be judged, said once") {
  Trip trip = MadeTrip{}.add(40, k_cold).add(100, k_warm).add(40, k_climb).take();
  trip.warm_ups = {{0.0, 20.0, 400.0, {}, {}, {}, {}}};
  const LogScope s = scope(trip);
  CHECK_FALSE(says(s.can_judge, "fan"));
  CHECK(std::count_if(s.cannot_judge.begin(), s.cannot_judge.end(), [](const auto& line) {
          return line.find("the fan cannot be judged") != std::string::npos;
        }) == 1);
  CHECK(says(s.log_next, "idling"));

  // Idling with a cold engine is none.
  Trip cold =
      MadeTrip{}.add(40, {30.0F, 15.0F, 0.0F, 15.0F, Phase::warm_up}).add(80, k_warm).take();
  CHECK_FALSE(says(scope(cold).can_judge, "fan"));
  CHECK(says(scope(cold).cannot_judge, "standing with a warm engine"));
}

TEST_CASE("without sustained load, or without load at all, the radiator cannot be judged") {
  const LogScope light = scope(MadeTrip{}.add(100, k_warm).take());
  CHECK_FALSE(says(light.can_judge, "radiator"));
  CHECK(says(light.cannot_judge, "60 % load"));
  CHECK(says(light.log_next, "sustained load"));
  const LogScope none = scope(MadeTrip{}.add(100, {80.0F, k_not_logged, 60.0F, 15.0F}).take());
  CHECK(says(none.cannot_judge, "without engine load"));
  CHECK(says(none.log_next, "more columns: engine load"));
}

TEST_CASE("a thermostat that hangs open needs a cold start and mild air") {
  CHECK_FALSE(says(scope(MadeTrip{}.add(100, k_warm).take()).can_judge, "hangs open"));
  Trip arctic = MadeTrip{}
                    .add(40, {10.0F, 35.0F, 50.0F, -15.0F, Phase::warm_up})
                    .add(60, {80.0F, 35.0F, 60.0F, -15.0F})
                    .take();
  arctic.warm_ups = {{0.0, -15.0, 400.0, {}, {}, {}, {}}};
  CHECK_FALSE(says(scope(arctic).can_judge, "hangs open"));
  CHECK(says(scope(arctic).cannot_judge, "below -7 °C only"));
  CHECK(says(scope(arctic).log_next, "a cold start"));
}

TEST_CASE("what one trip of a log shows the log can show") {
  Trip warm_only = MadeTrip{}.add(100, k_warm).take();
  const LogScope both = scope_of({finding_of(warm_only), finding_of(full_trip())});
  CHECK(says(both.can_judge, "hangs open"));
  CHECK_FALSE(says(both.cannot_judge, "no cold start"));
  CHECK_FALSE(says(both.cannot_judge, "no two minutes"));
}

TEST_CASE("without one believable reading nothing can be shown") {
  Trip dead = MadeTrip{}.add(60, {k_not_logged, 35.0F, 60.0F, 15.0F}).take();
  dead.usable_rows = 0;
  TripFinding finding{dead, std::nullopt, judge_without_band(recording_for(dead), dead, {})};
  const LogScope s = scope_of({finding});
  CHECK(s.can_judge.empty());
  CHECK(s.cannot_judge.front() == "not one believable coolant reading: nothing can be judged");
  CHECK(says(s.log_next, "first of all"));
}

TEST_CASE("slow polling is told from slow rows and both are asked to be faster") {
  Trip trip = full_trip();
  trip.sanity.refresh = {{Role::coolant, 12.0, false}};
  CHECK_FALSE(says(scope(trip).can_judge, "sticks"));
  CHECK(says(scope(trip).log_next, "here: every 12 s"));
  trip.sanity.refresh = {{Role::coolant, 12.0, true}}; // a bound is no measurement
  CHECK(says(scope(trip).can_judge, "sticks"));
}

TEST_CASE("no trips, no words") {
  const LogScope none = scope_of({});
  CHECK(none.can_judge.empty());
  CHECK(none.cannot_judge.empty());
  CHECK(none.log_next.empty());
}
