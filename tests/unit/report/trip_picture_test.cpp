// SPDX-License-Identifier: Apache-2.0
// The picture of a trip: the band that the trip was judged by, what is named in it, and its size.
#include "coolband/report/report.hpp"
#include "diagnose/deviations.hpp"
#include "report/picture_colours.hpp"
#include "report/trip_course.hpp"

#include "support/texts.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

struct Drawn {
  Recording recording;
  TripFinding finding;
  std::optional<VehicleProfile> profile;

  [[nodiscard]] std::string svg() const {
    return draw_trip(make_report(recording, finding, profile));
  }
};

Drawn drawn(const MadeTrip& made, const NormalBand& band = made_band()) {
  Drawn d;
  d.finding.trip = made.take();
  d.recording = recording_for(d.finding.trip);
  d.finding.band = band;
  d.finding.judgement = judge(d.recording, d.finding.trip, band, std::nullopt);
  return d;
}

/// Learned circuit whose valve opens from 80 to 90 °C.
NormalBand band_with_circuit() {
  NormalBand band = made_band();
  FittedCircuit circuit;
  const auto set = [&](CircuitParameter parameter, double value) {
    circuit.values[static_cast<std::size_t>(parameter)].value = value;
  };
  set(CircuitParameter::opens, 80.0);
  set(CircuitParameter::span, 10.0);
  set(CircuitParameter::wax_lag, 20.0);
  band.circuit = circuit;
  return band;
}

} // namespace

TEST_CASE("the band of the picture is the one that the trip was judged by") {
  NormalBand band = made_band();
  band.load_c_per_pct = 0.2;
  const Trip trip = MadeTrip{}
                        .add(6, {.coolant = 40.0F, .phase = Phase::warm_up})
                        .add(60, {.load = 20.0F})
                        .add(60, {.load = 60.0F})
                        .take();
  const TripCourse course = course_of({trip, band, {}});
  const Deviations deviations = deviations_from(trip, band, {});
  REQUIRE(course.centre_c.size() == trip.blocks.size());
  CHECK(std::isnan(course.centre_c[3])); // warming up is not judged
  CHECK(course.opening_pct.empty());
  for (const std::size_t i : {std::size_t{10}, std::size_t{100}}) {
    const double centre = static_cast<double>(course.centre_c[i]);
    CHECK(centre == doctest::Approx(80.0 - deviations.from_centre(i)));
    CHECK(static_cast<double>(course.upper_c[i]) == doctest::Approx(centre + deviations.limit(i)));
    CHECK(static_cast<double>(course.lower_c[i]) == doctest::Approx(centre - deviations.limit(i)));
  }
  CHECK(course.centre_c[120] > course.centre_c[20] + 5.0F); // it moves with the load
}

TEST_CASE("a sound valve is shut below its start of opening and follows with its lag") {
  const Trip trip = MadeTrip{}
                        .add(30, {.coolant = 70.0F})
                        .add(60, {.coolant = 85.0F})
                        .add(60, {.coolant = 95.0F})
                        .take();
  const auto opening = course_of({trip, band_with_circuit(), {}}).opening_pct;
  REQUIRE(opening.size() == trip.blocks.size());
  CHECK(opening[29] == 0.0F);
  CHECK(opening[31] < 50.0F);
  CHECK(static_cast<double>(opening[89]) == doctest::Approx(50.0).epsilon(0.001));
  CHECK(opening[149] == 100.0F);
}

TEST_CASE("across a hole the wax element starts at the reading") {
  Trip trip = MadeTrip{}.add(30, {.coolant = 70.0F}).add(30, {.coolant = 85.0F}).take();
  for (std::size_t i = 30; i < 60; ++i) {
    trip.blocks.start_s[i] += 900.0;
    trip.blocks.end_s[i] += 900.0;
  }
  const auto opening = course_of({trip, band_with_circuit(), {}}).opening_pct;
  CHECK(static_cast<double>(opening[30]) == doctest::Approx(50.0));
}

TEST_CASE("what the log lacks is named, and not drawn") {
  const Drawn all = drawn(MadeTrip{}.add(120, {}), band_with_circuit());
  for (const char* heading : {"engine load (%)", "road speed (km/h)", "outside temperature (°C)",
                              "a sound thermostat would stand open (%), estimated"})
    CHECK(says(all.svg(), heading));
  CHECK_FALSE(says(all.svg(), "not in the log"));
  const Drawn bare = drawn(
      MadeTrip{}.add(120, {.load = k_not_logged, .speed = k_not_logged, .ambient = k_not_logged}));
  const std::string svg = bare.svg();
  CHECK(says(svg, "not in the log: engine load, road speed, outside temperature"));
  CHECK_FALSE(says(svg, "engine load (%)"));
  CHECK_FALSE(says(svg, "stand open"));
  CHECK_FALSE(says(svg, "nan"));
}

TEST_CASE("boiling is drawn where it is near, and told where it is far") {
  Drawn d = drawn(MadeTrip{}.add(120, {.coolant = 80.0F}));
  d.finding.judgement.boiling = {130.0, 50.0, {}};
  CHECK(says(d.svg(), "boils at 130.0 °C, above this picture: the hottest reading, 80.0 °C, was "
                      "50.0 K below"));
  d = drawn(MadeTrip{}.add(120, {.coolant = 112.0F}));
  d.finding.judgement.boiling = {108.0, -4.0, {}};
  CHECK(says(d.svg(), "boils at 108.0 °C: the hottest reading, 112.0 °C, was 4.0 K above"));
  CHECK(times_in(d.svg(), "stroke-dasharray=\"9 3 2 3\"") == 1);
}

TEST_CASE("the first opening is marked where the reading came to it") {
  MadeTrip made;
  made.add(1, {.coolant = 20.0F, .phase = Phase::warm_up}).go_to(80.0F).add(60, {});
  Drawn d = drawn(made);
  d.finding.trip.warm_ups = {{0.0, 20.0, 600.0, {}, 78.0, {}, {}}};
  CHECK(times_in(d.svg(), "first opening near 78 °C") == 1);
  d.finding.trip.warm_ups[0].opened_c = 95.0; // never read: no place for it
  CHECK(times_in(d.svg(), "first opening") == 0);
}

TEST_CASE("episodes are shaded, numbered and listed; who cannot see them is told") {
  Drawn d = drawn(MadeTrip{}.add(120, {}));
  d.finding.judgement.episodes.clear();
  CHECK_FALSE(says(d.svg(), ">episode<"));
  for (int i = 0; i < 25; ++i) {
    Episode e;
    e.start_s = 40.0 * i;
    e.end_s = 40.0 * i + 30.0;
    e.worst_deviation_c = -5.0;
    e.explained_by = i % 2 == 0 ? Explanation::none : Explanation::heavy_load;
    d.finding.judgement.episodes.push_back(e);
  }
  const std::string svg = d.svg();
  CHECK(says(svg, ">episode<"));
  CHECK(says(svg, ">explained episode<"));
  CHECK(times_in(svg, "<circle") == 20);
  CHECK(says(svg, "and 5 more, shaded without a number"));
  CHECK(says(svg, "; 25 episodes: below, 0:00 to 0:30, -5.0 K: undetermined; "));
}

TEST_CASE("a picture stays small, however long and torn the trip") {
  MadeTrip made;
  for (int i = 0; i < 20000; ++i)
    made.add(1, {.coolant = 60.0F + static_cast<float>(i % 37),
                 .load = i % 2 == 0 ? k_not_logged : 30.0F + static_cast<float>(i % 50),
                 .speed = static_cast<float>(i % 110)});
  const std::string svg = drawn(made, band_with_circuit()).svg();
  CHECK(svg.size() < 500000);
  CHECK(svg.ends_with("</svg>"));
  CHECK(says(svg, "hours from the start of the trip"));
}

TEST_CASE("every picture has a dark face") {
  Drawn d = drawn(MadeTrip{}.add(120, {.coolant = 70.0F}), band_with_circuit());
  CHECK(has_dark_colours(d.svg()));
  CHECK(has_dark_colours(draw_valve(make_report(d.recording, d.finding, d.profile))));
  CHECK(has_dark_colours(draw_band(*d.finding.band)));
  CHECK_FALSE(has_dark_colours(R"(<path fill="#123456"/>)"));
}

TEST_CASE("hostile names stay text") {
  Drawn d = drawn(MadeTrip{}.add(120, {}));
  d.recording.source = "a/<script>\"&.csv";
  d.finding.band->vehicle = "</svg>";
  d.finding.judgement.headline = "<img src=x>";
  const std::string svg = d.svg();
  CHECK(times_in(svg, "<script") + times_in(svg, "<img") == 0);
  CHECK(times_in(svg, "</svg>") == 1);
}
