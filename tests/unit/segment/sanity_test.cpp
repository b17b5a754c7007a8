// SPDX-License-Identifier: Apache-2.0
// Cold starts against the air, frozen readings, and odd values counted trip by trip.
#include "segment/sanity.hpp"

#include "support/drive_simulator.hpp"
#include "support/edit_columns.hpp"
#include "unit/condition/made_recording.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <optional>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Outcome = ColdSoak::Outcome;

constexpr double k_night_s = 9.0 * 3600.0;

std::optional<Outcome> outcome(double coolant_c, std::optional<double> ambient_c,
                               std::optional<double> intake_c = {},
                               std::optional<double> rest_s = {}) {
  const auto soak = cold_soak({coolant_c, ambient_c, intake_c}, rest_s);
  return soak ? std::optional(soak->outcome) : std::nullopt;
}

std::vector<Trip> trips_of(const Recording& recording) {
  return find_trips(recording, condition(recording));
}

Recording recording_of(const DriveLog& log) {
  Recording recording =
      made_recording(std::vector<double>(log.time_s.begin(), log.time_s.end()), log.coolant_c);
  recording.column(Role::load) = log.load_pct;
  recording.column(Role::speed) = log.speed_kmh;
  recording.column(Role::rpm) = log.rpm;
  recording.column(Role::ambient) = log.ambient_c;
  return recording;
}

DrivePlan mixed_drive(std::uint64_t seed, double ambient_c) {
  DrivePlan plan;
  plan.seed = seed;
  plan.ambient_c = ambient_c;
  plan.start_c = ambient_c;
  plan.legs = {{LegKind::town, 12.0}, {LegKind::road, 15.0}, {LegKind::town, 10.0}};
  return plan;
}

} // namespace

TEST_CASE("after a night coolant and air agree within 10 K, or one of them is off") {
  CHECK(outcome(12, 10, 11, k_night_s) == Outcome::agrees);
  CHECK(outcome(20, 10, {}, k_night_s) == Outcome::agrees);
  CHECK(outcome(21, 10, {}, k_night_s) == Outcome::disagrees);
  CHECK(outcome(60, 10, {}, k_night_s) == Outcome::disagrees);
  CHECK(outcome(-5, 10, {}, k_night_s) == Outcome::disagrees);
  CHECK(outcome(21, 20, 9, k_night_s) == Outcome::disagrees); // intake air is the odd one
}

TEST_CASE("a leakage across the sensor shows in the cold soak, added resistance does not") {
  // NTC table of a maker's service text, computed: 2 kOhm in parallel reads 41.0 °C at a true 20,
  // 100 Ohm in series 19.0 °C (common practice, no source).
  CHECK(outcome(41.0, 20, 20, k_night_s) == Outcome::disagrees);
  CHECK(outcome(19.0, 20, 20, k_night_s) == Outcome::agrees);
}

TEST_CASE("after a short rest nothing is compared") {
  CHECK_FALSE(outcome(50, 10, {}, 3600.0));
  CHECK_FALSE(outcome(12, 10, {}, 5.9 * 3600.0));
}

TEST_CASE("when nothing tells of the rest, only a reading in the cold range is compared") {
  CHECK_FALSE(outcome(60, 10, 10));
  CHECK(outcome(15, 10) == Outcome::agrees);
  CHECK(outcome(44, 38) == Outcome::agrees); // hot weather is the cold range of a hot country
  CHECK(outcome(30, 10) == Outcome::unclear);
  CHECK(outcome(30, 10, 18) == Outcome::unclear);   // still warm under the bonnet
  CHECK(outcome(30, 10, 11) == Outcome::disagrees); // no heat there
  CHECK(outcome(-2, 12) == Outcome::disagrees);     // no engine at rest is colder than the air
}

TEST_CASE("without coolant or any air temperature there is nothing to compare") {
  CHECK_FALSE(outcome(15, {}));
  CHECK_FALSE(cold_soak({std::nullopt, 10.0, 10.0}, k_night_s));
}

TEST_CASE("a trip takes its first readings within a minute, and only from sensors") {
  Recording recording = made_recording(10.0, std::vector<float>(60, 15.0F));
  fill(recording, Role::ambient, 14.0F);
  recording.how.columns = {{Role::coolant, "c", 2, "°C", "heading"},
                           {Role::ambient, "a", 3, "°C", "heading"}};
  REQUIRE(trips_of(recording).front().sanity.cold_soak);
  CHECK(*trips_of(recording).front().sanity.cold_soak->ambient_c == 14.0);
  recording.how.columns[1].column = 0; // a constant that the user gave
  CHECK_FALSE(trips_of(recording).front().sanity.cold_soak);

  recording.how.columns[1].column = 3;
  for (std::size_t row = 0; row < 8; ++row) set_value(recording.column(Role::coolant), row, -40.0F);
  CHECK_FALSE(trips_of(recording).front().sanity.cold_soak);
}

TEST_CASE("below any thermostat a reading that stands still under changing load is frozen") {
  const Stretch slow{50.0F, 20.0F, 20.0F};
  const Stretch fast{50.0F, 70.0F, 90.0F};
  const Trip stuck = MadeTrip{}.add(30, slow).add(31, fast).take();
  REQUIRE(frozen_reading(stuck));
  CHECK(frozen_reading(stuck)->reading_c == 50.0);
  CHECK(frozen_reading(stuck)->length_s == doctest::Approx(609.0));
  CHECK(frozen_reading(stuck)->last_row == 609);
  CHECK_FALSE(frozen_reading(MadeTrip{}.add(29, slow).add(29, fast).take())); // under 10 min
  CHECK_FALSE(frozen_reading(MadeTrip{}.add(120, slow).take())); // even running may hold a level
}

TEST_CASE("a warm engine may hold a whole degree, but not a tenth, for twenty minutes") {
  const Stretch slow{85.0F, 20.0F, 20.0F};
  const Stretch fast{85.0F, 70.0F, 90.0F};
  Trip trip = MadeTrip{}.add(80, slow).add(80, fast).take();
  CHECK_FALSE(frozen_reading(trip));
  trip.resolution_c = 0.1;
  CHECK(frozen_reading(trip));
}

TEST_CASE("sound and faulty drives of the simulator are not called frozen, a frozen sensor is") {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    for (const double ambient_c : {-12.0, 8.0, 28.0}) {
      for (const Fault fault : {Fault::none, Fault::stuck_open, Fault::sticking}) {
        const DriveLog log = simulate_drive({}, mixed_drive(seed, ambient_c), {fault});
        CHECK_FALSE(trips_of(recording_of(log)).front().sanity.frozen);
      }
    }
  }
  FaultPlan frozen{Fault::sensor_frozen};
  frozen.from_s = 200.0; // on the way up
  const Trip trip = trips_of(recording_of(simulate_drive({}, mixed_drive(1, 8.0), frozen))).front();
  REQUIRE(trip.sanity.frozen);
  CHECK(trip.sanity.frozen->length_s > 1500.0);
}

TEST_CASE("odd values are counted trip by trip, each kind apart, with the row where it began") {
  std::vector<float> coolant(60, 80.0F);
  coolant[5] = coolant[6] = -40.0F;
  coolant[10] = 214.0F;
  coolant[12] = 215.0F;
  coolant[50] = 215.0F;
  Recording recording = made_recording(1.0, coolant);
  fill(recording, Role::speed, 50.0F);
  set_value(recording.column(Role::speed), 20, 255.0F);
  set_value(recording.column(Role::speed), 21, 400.0F);
  recording.text_changes = {{30, Role::trip, "b"}};
  const auto trips = trips_of(recording);
  REQUIRE(trips.size() == 2);
  const auto& odd = trips[0].sanity.odd;
  REQUIRE(odd.size() == 5);
  CHECK(odd[0].oddity == Oddity::lowest_code);
  CHECK(odd[0].rows == 2);
  CHECK(odd[0].first_row == 5);
  CHECK(odd[1].oddity == Oddity::error_code);
  CHECK(odd[2].oddity == Oddity::not_available);
  CHECK(odd[2].first_row == 12);
  CHECK(odd[3].role == Role::speed);
  CHECK(odd[3].oddity == Oddity::not_available);
  CHECK(odd[4].oddity == Oddity::out_of_range);
  CHECK(odd[4].value == 400.0);
  REQUIRE(trips[1].sanity.odd.size() == 1);
  CHECK(trips[1].sanity.odd[0].first_row == 50);
  CHECK(trips[0].usable_rows + trips[1].usable_rows == 55);
}

TEST_CASE("a code does not coarsen or refine the step of the reading") {
  std::vector<float> coolant(40, 80.0F);
  coolant[20] = 6553.5F;
  CHECK(trips_of(made_recording(1.0, coolant)).front().resolution_c == 1.0);
}

TEST_CASE("the measures of a trip do not depend on where its chunks lie") {
  // The same drive behind 0 to 4097 rows of an earlier trip.
  const DriveLog log = simulate_drive({}, mixed_drive(3, 10.0));
  const Trip alone = trips_of(recording_of(log)).front();
  for (const std::size_t before : {1UL, 4095UL, 4096UL, 4097UL}) {
    Recording behind = made_recording(1.0, std::vector<float>(before, 40.0F));
    const Recording drive = recording_of(log);
    for (std::size_t row = 0; row < drive.size(); ++row)
      behind.time_s.push_back(drive.time_s[row] + 100000.0);
    append(behind.column(Role::coolant), drive.column(Role::coolant));
    for (const Role role : {Role::load, Role::speed, Role::rpm, Role::ambient}) {
      behind.column(role).assign(before, 0.0F);
      append(behind.column(role), drive.column(role));
    }
    const auto trips = trips_of(behind);
    REQUIRE(trips.size() == 2);
    CHECK(trips[1].usable_rows == alone.usable_rows);
    CHECK(*trips[1].distance_km == doctest::Approx(*alone.distance_km));
    CHECK(trips[1].blocks.coolant == alone.blocks.coolant);
    CHECK(trips[1].blocks.load_lagged == alone.blocks.load_lagged);
    CHECK(trips[1].sanity.refresh.size() == alone.sanity.refresh.size());
  }
}
