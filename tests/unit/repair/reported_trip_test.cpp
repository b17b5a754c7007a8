// SPDX-License-Identifier: Apache-2.0
// Which trip a job is made for, and how often the fault showed.
#include "unit/repair/made_reports.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

ReportedTrip verdict(Condition condition, Action action, double confidence,
                     const std::string& vehicle = "a") {
  ReportedTrip trip = made_report(condition, confidence, action, {});
  trip.vehicle_id = vehicle;
  return trip;
}

const std::vector<ReportedTrip> k_trips = {
    verdict(Condition::normal, Action::none, 0.9),
    verdict(Condition::thermostat_sticking, Action::service, 0.7),
    verdict(Condition::thermostat_sticking, Action::service, 0.8),
    verdict(Condition::undetermined, Action::monitor, 0.0),
    verdict(Condition::overheating, Action::stop, 0.5, "b")};

} // namespace

TEST_CASE("the worst trip is the one that calls for most, then the surest") {
  CHECK(worst_trip(k_trips) == 4);
  CHECK(worst_trip(k_trips, "a") == 2);
  CHECK_FALSE(worst_trip(k_trips, "c"));
  CHECK_FALSE(worst_trip({}));
  CHECK(worst_trip({k_trips[0], k_trips[0]}) == 0);
}

TEST_CASE("a fault is counted among the vehicle's trips that could show it") {
  const ShowingRate rate = showing_of(k_trips, k_trips[2], Condition::thermostat_sticking);
  CHECK(rate.shown == 2);
  CHECK(rate.able == 3);
  const ShowingRate hot = showing_of(k_trips, k_trips[4], Condition::coolant_flow_low);
  CHECK(hot.shown == 1);
  CHECK(hot.able == 1);
  CHECK(showing_of(k_trips, k_trips[0], Condition::sensor_fault).shown == 0);
  CHECK(showing_of(k_trips, k_trips[2], Condition::sensor_fault).shown == 2);
}

TEST_CASE("other alarms are the other trips that call for service or stop") {
  CHECK(other_alarms(k_trips, 2) == std::vector<std::size_t>{1, 4});
  CHECK(other_alarms(k_trips, 4) == std::vector<std::size_t>{1, 2});
}
