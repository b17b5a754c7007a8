// SPDX-License-Identifier: Apache-2.0
// The circuit held against trips that it made itself: each fault is accounted for by its own part,
// a sound drive by none; which blocks are used; what a sound vehicle would have read.
#include "diagnose/circuit_evidence.hpp"
#include "diagnose/sound_course.hpp"

#include "diagnose/candidates.hpp"
#include "diagnose/causes.hpp"
#include "unit/diagnose/circuit_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Up a pass on a hot day, slowly: no wind, much heat. The fan has to come in.
constexpr DrivenLeg crawling_up(std::size_t minutes) { return {minutes, 5.0, 20.0, 55.0, 82.0}; }

/// Weather and road in which a fault shows.
struct Setting {
  double ambient_c = 15.0;
  std::vector<DrivenLeg> legs = ordinary_legs();
};

Setting setting_for(Condition condition) {
  switch (condition) {
  case Condition::fan_not_cooling:
    return {32.0, {road(15), crawling_up(20), road(15), crawling_up(15), town(10)}};
  case Condition::radiator_restricted: return {32.0, ordinary_legs()};
  default: return {};
  }
}

CircuitDrive made(const ReducedFault& fault, const Setting& setting, std::uint64_t seed) {
  CircuitDrive drive = driven_legs(seed, setting.ambient_c, setting.legs);
  read_off(drive, usual_circuit(), 1.0, fault);
  return drive;
}

CircuitEvidence evidence_of(const CircuitDrive& drive) {
  return circuit_evidence(circuit_trip(blocks_of(drive), {}), known_vehicle());
}

/// Thermostat, fan, radiator, flow (gas in the coolant takes it, too), sensor.
int part_of(Condition condition) {
  switch (condition) {
  case Condition::thermostat_stuck_open:
  case Condition::thermostat_stuck_closed:
  case Condition::thermostat_sticking: return 1;
  case Condition::fan_not_cooling: return 2;
  case Condition::radiator_restricted: return 3;
  case Condition::coolant_flow_low:
  case Condition::air_or_low_coolant: return 4;
  case Condition::sensor_fault: return 5;
  default: return 0;
  }
}

double evidence_for(const CircuitEvidence& evidence, Condition condition) {
  return evidence.log_evidence[static_cast<std::size_t>(condition)];
}

/// They stand best first.
const Hypothesis& best_of(const CircuitEvidence& evidence, Condition condition) {
  return *std::find_if(evidence.hypotheses.begin(), evidence.hypotheses.end(),
                       [&](const Hypothesis& h) { return h.condition == condition; });
}

Blocks long_trip(std::size_t blocks) {
  CircuitDrive drive = driven_legs(2, 15.0, {road(blocks / 6 + 1)});
  drive.blocks.resize(blocks);
  read_off(drive, usual_circuit(), 1.0);
  return blocks_of(drive);
}

bool holds(const CircuitTrip& trip, std::size_t block) {
  return std::binary_search(trip.block.begin(), trip.block.end(), block);
}

} // namespace

TEST_CASE("every candidate's own drive is accounted for best by its own part") {
  for (const Candidate& candidate : candidates()) {
    const Setting setting = setting_for(candidate.condition);
    for (const std::uint64_t seed : {11U, 12U}) {
      const auto evidence = evidence_of(made(candidate.fault(0.85), setting, seed));
      REQUIRE_FALSE(evidence.hypotheses.empty());
      const Hypothesis& best = evidence.hypotheses.front();
      CAPTURE(seed);
      CAPTURE(candidate.words(0.85));
      CAPTURE(best.what);
      CHECK(part_of(best.condition) == part_of(candidate.condition));
      CHECK(best.log_evidence > 1.0);
      CHECK(best.misfit_k < best_of(evidence, Condition::normal).misfit_k);
    }
  }
}

TEST_CASE("what passes a valve that should be shut is told of each candidate by what it does") {
  for (const Candidate& candidate : candidates()) {
    CAPTURE(candidate.words(0.85));
    const ReducedFault fault = candidate.fault(0.85);
    CHECK(candidate.passes_shut() == (fault.lift_at_least > 0.0 || fault.leak > 0.0));
    if (candidate.passes_shut()) {
      CHECK((candidate.condition == Condition::thermostat_stuck_open ||
             candidate.condition == Condition::thermostat_sticking));
    }
  }
  const auto evidence = evidence_of(made({.lift_at_least = 0.3, .lift_at_most = 0.55}, {}, 11));
  REQUIRE_FALSE(evidence.hypotheses.empty());
  CHECK(evidence.hypotheses.front().passes_shut);
  CHECK_FALSE(best_of(evidence, Condition::normal).passes_shut);
}

TEST_CASE("the worse it is, the clearer") {
  for (const Candidate& candidate : candidates()) {
    if (candidate.condition != Condition::thermostat_stuck_open &&
        candidate.condition != Condition::radiator_restricted)
      continue;
    const Setting setting = setting_for(candidate.condition);
    const auto at = [&](double severity) {
      return evidence_for(evidence_of(made(candidate.fault(severity), setting, 11)),
                          candidate.condition);
    };
    CAPTURE(candidate.words(0.5));
    // Where both are beyond doubt, Student's t makes little of how far readings stray.
    CHECK(at(0.9) > 0.95 * at(0.5));
    CHECK(at(0.5) > at(0.0));
  }
}

TEST_CASE("a sound drive is accounted for by no fault") {
  for (const double ambient_c : {-10.0, 5.0, 15.0, 32.0}) {
    for (const std::uint64_t seed : {21U, 22U, 23U}) {
      const auto evidence = evidence_of(made({}, {ambient_c, ordinary_legs()}, seed));
      CAPTURE(ambient_c);
      CAPTURE(seed);
      CAPTURE(evidence.hypotheses.front().what);
      CHECK(evidence.hypotheses.front().log_evidence < 1.5);
      CHECK(rank_causes({}, evidence).front().condition == Condition::normal);
      CHECK(rank_causes({}, evidence).front().probability > 0.8);
    }
  }
}

TEST_CASE("a vehicle that differs from what is known, within its limits, is sound") {
  for (const double factor : {0.85, 1.15}) {
    CircuitValues circuit = usual_circuit();
    circuit[static_cast<std::size_t>(CircuitParameter::load_heat)] *= factor;
    circuit[static_cast<std::size_t>(CircuitParameter::opens)] += factor > 1.0 ? 1.0 : -1.0;
    CircuitDrive drive = driven_legs(31, 15.0, ordinary_legs());
    read_off(drive, circuit, 1.0);
    CHECK(rank_causes({}, evidence_of(drive)).front().condition == Condition::normal);
  }
}

TEST_CASE("a dead fan is found though the vehicle differs from what is known") {
  // Dead is the end of a range, and a search from the usual vehicle ends before it: half a fan and
  // half of the air fit nearly as well.
  using enum CircuitParameter;
  const std::pair<CircuitParameter, double> open[] = {{still_air, 0.9},  {ram_air, 0.15},
                                                      {load_heat, 0.08}, {flow, 0.12},
                                                      {loss, 0.25},      {heater, 0.4}};
  const std::vector<DrivenLeg> legs{standing(1), road(10), standing(10), crawling_up(14),
                                    standing(12)};
  for (const std::uint64_t seed : {6U, 10U, 14U}) {
    Random random(seed);
    CircuitValues circuit = usual_circuit();
    for (const auto& [parameter, scatter] : open)
      circuit[static_cast<std::size_t>(parameter)] *= std::exp(scatter * random.between(-1.7, 1.7));
    for (const ReducedFault& dead :
         {ReducedFault{.fan = 0.0}, ReducedFault{.still_air = 0.2, .fan = 0.0}}) {
      CircuitDrive drive = driven_legs(seed, 28.0, legs);
      read_off(drive, circuit, 1.0, dead);
      const auto evidence = evidence_of(drive);
      const Hypothesis& fan = best_of(evidence, Condition::fan_not_cooling);
      CAPTURE(seed);
      CAPTURE(fan.what);
      CAPTURE(evidence.hypotheses.front().what);
      CHECK(fan.log_evidence > evidence.hypotheses.front().log_evidence - 3.0);
    }
  }
}

TEST_CASE("a reading that is 6 K low all along is rather a sensor's than an early valve's") {
  for (const std::uint64_t seed : {3U, 5U, 8U}) {
    CircuitDrive drive = driven_legs(seed, 15.0, ordinary_legs());
    read_off(drive, usual_circuit(), 1.0, {.offset_k = -6.0});
    const auto evidence = evidence_of(drive);
    CAPTURE(seed);
    CHECK(evidence_for(evidence, Condition::sensor_fault) >
          evidence_for(evidence, Condition::thermostat_stuck_open) + 1.0);
  }
}

TEST_CASE("a sensor that follows 20 times too slowly is a slow sensor") {
  CircuitDrive drive = driven_legs(7, 15.0, ordinary_legs());
  read_off(drive, usual_circuit(), 1.0, {.sensor_lag_factor = 20.0});
  const auto evidence = evidence_of(drive);
  CHECK(evidence.hypotheses.front().condition == Condition::sensor_fault);
  CHECK(evidence.hypotheses.front().what.find("times too slowly") != std::string::npos);
}

TEST_CASE("a fault that comes and goes is found at work for its part of the time") {
  CircuitDrive drive = driven_legs(41, 10.0, ordinary_legs());
  std::vector<bool> faulty(drive.blocks.size(), false);
  std::fill(faulty.begin() + 180, faulty.begin() + 330, true);
  ReducedFault open;
  open.lift_at_least = 0.5;
  read_off_by_turns(drive, usual_circuit(), open, faulty, 1.0);
  const auto evidence = evidence_of(drive);
  const Hypothesis& best = evidence.hypotheses.front();
  CAPTURE(best.what);
  CHECK(part_of(best.condition) == 1);
  CHECK(best.active_share > 0.15);
  CHECK(best.active_share < 0.7);
  CHECK(best.log_evidence > 1.0);
}

TEST_CASE("hypotheses are ranked, the sound vehicle among them once, with nothing for or against") {
  const auto evidence = evidence_of(made(candidates().front().fault(0.5), {}, 11));
  CHECK(std::is_sorted(
      evidence.hypotheses.begin(), evidence.hypotheses.end(),
      [](const Hypothesis& a, const Hypothesis& b) { return a.log_evidence > b.log_evidence; }));
  const auto sound =
      std::count_if(evidence.hypotheses.begin(), evidence.hypotheses.end(),
                    [](const Hypothesis& h) { return h.condition == Condition::normal; });
  CHECK(sound == 1);
  CHECK(best_of(evidence, Condition::normal).log_evidence == 0.0);
  CHECK(evidence_for(evidence, Condition::normal) == 0.0);
  for (const Hypothesis& hypothesis : evidence.hypotheses) {
    CHECK(std::isfinite(hypothesis.log_evidence));
    CHECK(hypothesis.misfit_k >= 0.0);
    CHECK(hypothesis.active_share >= 0.0);
    CHECK(hypothesis.active_share <= 1.0);
    CHECK_FALSE(hypothesis.what.empty());
  }
}

TEST_CASE("less than ten minutes to go on give no evidence") {
  const auto hypotheses = [](std::size_t blocks) {
    return evidence_of([&] {
             CircuitDrive drive = driven_legs(2, 15.0, {road(30)});
             drive.blocks.resize(blocks);
             read_off(drive, usual_circuit());
             return drive;
           }())
        .hypotheses.size();
  };
  CHECK(hypotheses(60) == 0); // the first block is where the run begins
  CHECK(hypotheses(61) > 0);
  CHECK(circuit_evidence(circuit_trip({}, {}), known_vehicle()).hypotheses.empty());
}

TEST_CASE("readings that are not believed are not used") {
  const CircuitDrive drive = made({}, {}, 11);
  Blocks blocks = blocks_of(drive);
  std::vector<bool> unbelievable(blocks.size(), false);
  for (std::size_t i = 200; i < 215; ++i) unbelievable[i] = true;
  const CircuitTrip trip = circuit_trip(blocks, {}, unbelievable);
  REQUIRE(trip.inputs.size() == blocks.size());
  for (std::size_t i = 200; i < 215; ++i) CHECK(std::isnan(trip.inputs.coolant_c[i]));
  for (const std::size_t i : trip.inputs.scored) CHECK_FALSE(unbelievable[i]);
  CHECK(trip.inputs.scored.size() == circuit_trip(blocks, {}).inputs.scored.size() - 15);

  // Whatever stands in them, the evidence is the same; believed, it would count: a sensor in gas
  // reads so low.
  const auto without = circuit_evidence(trip, known_vehicle());
  for (std::size_t i = 200; i < 215; ++i) blocks.coolant[i] -= 20.0F;
  const auto masked = circuit_evidence(circuit_trip(blocks, {}, unbelievable), known_vehicle());
  const auto believed = circuit_evidence(circuit_trip(blocks, {}), known_vehicle());
  CHECK(masked.log_evidence == without.log_evidence);
  const auto most = [](const CircuitEvidence& evidence) {
    return *std::max_element(evidence.log_evidence.begin(), evidence.log_evidence.end());
  };
  CHECK(most(believed) > most(without) + 1.0);
}

TEST_CASE("of a long trip the beginning and the telling parts are run") {
  const Blocks blocks = long_trip(3000);
  const BlockRange telling[] = {{2500, 2600}, {1200, 2400}};
  const CircuitTrip trip = circuit_trip(blocks, telling);
  CHECK(trip.inputs.size() == k_most_blocks);
  REQUIRE(trip.block.size() == k_most_blocks);
  CHECK(std::is_sorted(trip.block.begin(), trip.block.end()));
  CHECK(holds(trip, 0));
  for (std::size_t i = 2500; i <= 2600; ++i) CHECK(holds(trip, i));
  CHECK(holds(trip, 2460)); // and what led there
  CHECK(holds(trip, 1200));
  CHECK(holds(trip, 1400)); // of a long range its beginning

  // Where blocks were left out a new stretch begins, and nothing is held against its first block.
  for (std::size_t k = 1; k < trip.block.size(); ++k) {
    const bool follows = trip.block[k] == trip.block[k - 1] + 1;
    CHECK((trip.inputs.begins[k] == 0) == follows);
    if (!follows)
      CHECK_FALSE(std::binary_search(trip.inputs.scored.begin(), trip.inputs.scored.end(), k));
  }
  CHECK_FALSE(circuit_evidence(trip, known_vehicle()).hypotheses.empty());
}

TEST_CASE("a trip that fits is run whole, and one just too long loses its end only") {
  const CircuitTrip whole = circuit_trip(long_trip(k_most_blocks), {});
  CHECK(whole.inputs.size() == k_most_blocks);
  CHECK(whole.block.back() == k_most_blocks - 1);
  const CircuitTrip cut = circuit_trip(long_trip(k_most_blocks + 50), {});
  CHECK(cut.inputs.size() == k_most_blocks);
  CHECK(cut.block.back() == k_most_blocks - 1);
}

TEST_CASE("a range at either edge of the trip stays within it") {
  const Blocks blocks = long_trip(2000);
  const BlockRange telling[] = {{1990, 1999}, {0, 5}};
  const CircuitTrip trip = circuit_trip(blocks, telling);
  CHECK(holds(trip, 1999));
  CHECK(trip.block.back() == 1999);
  CHECK(trip.inputs.size() == k_most_blocks);
}

TEST_CASE("a sound vehicle would have read what a sound drive reads") {
  const CircuitDrive drive = made({}, {}, 51);
  const Blocks blocks = blocks_of(drive);
  const SoundCourse course = sound_course(circuit_trip(blocks, {}), known_vehicle(), blocks.size());
  REQUIRE(course.reading_c.size() == blocks.size());
  CHECK(std::isnan(course.reading_c[0])); // nothing was known before
  for (std::size_t i = 1; i < blocks.size(); ++i) {
    CHECK(std::abs(course.reading_c[i] - blocks.coolant[i]) <= 0.6F); // the rounding of the reading
    CHECK(course.error_k[i] >= 0.9F);
  }
}

TEST_CASE("what a sound vehicle would have read does not follow a fault") {
  ReducedFault open;
  open.lift_at_least = 0.7;
  const Setting cold{5.0, ordinary_legs()};
  const Blocks sound = blocks_of(made({}, cold, 51));
  const Blocks blocks = blocks_of(made(open, cold, 51));
  const SoundCourse course = sound_course(circuit_trip(blocks, {}), known_vehicle(), blocks.size());
  double apart_k = 0.0;
  for (std::size_t i = 1; i < blocks.size(); ++i) {
    CHECK(std::abs(course.reading_c[i] - sound.coolant[i]) <= 0.6F);
    apart_k = std::max(apart_k, static_cast<double>(sound.coolant[i] - blocks.coolant[i]));
  }
  CHECK(apart_k > 15.0);
}

TEST_CASE("the less is known of a vehicle, the wider the error of what it would have read") {
  const Blocks blocks = blocks_of(made({}, {}, 51));
  const CircuitTrip trip = circuit_trip(blocks, {});
  const SoundCourse known = sound_course(trip, known_vehicle(), blocks.size());
  const SoundCourse stranger = sound_course(trip, circuit_knowledge({}, {}), blocks.size());
  for (std::size_t i = 60; i < blocks.size(); i += 20)
    CHECK(stranger.error_k[i] > known.error_k[i]);
}

TEST_CASE("blocks that were not run have no sound reading") {
  const Blocks blocks = long_trip(2000);
  const CircuitTrip trip = circuit_trip(blocks, {});
  const SoundCourse course = sound_course(trip, known_vehicle(), blocks.size());
  REQUIRE(course.reading_c.size() == 2000);
  for (std::size_t i = 0; i < 2000; ++i) {
    const bool runs = holds(trip, i) && i > 0;
    CHECK(std::isnan(course.reading_c[i]) == !runs);
  }
}

TEST_CASE("the misfit of a sound drive is that of sound drives, a fault's is far beyond") {
  const auto ratio = [](const ReducedFault& fault) {
    return sound_misfit_ratio(circuit_trip(blocks_of(made(fault, {}, 61)), {}), known_vehicle());
  };
  CHECK(ratio({}) < 1.0);
  ReducedFault open;
  open.lift_at_least = 0.7;
  CHECK(ratio(open) > 2.0);
  CHECK(sound_misfit_ratio(circuit_trip({}, {}), known_vehicle()) == 1.0);
}

TEST_CASE("a start from cold tells a sensor that reads high from an engine that runs hot") {
  ReducedFault high;
  high.offset_k = 12.0;
  const auto believed = [&](bool weather_logged) {
    Blocks blocks = blocks_of(made(high, {}, 71));
    if (!weather_logged) blocks.ambient.assign(blocks.size(), std::nanf(""));
    return circuit_trip(blocks, {}).inputs.cold_start;
  };
  REQUIRE(believed(true));
  CHECK(believed(true)->air_c == doctest::Approx(15.0));
  CHECK(believed(true)->shown_c == doctest::Approx(27.0));
  CHECK_FALSE(believed(false));
  const auto evidence = evidence_of(made(high, {}, 71));
  CHECK(evidence.hypotheses.front().condition == Condition::sensor_fault);
  ReducedFault late;
  late.opens_later_k = 12.0;
  CHECK(evidence_of(made(late, {}, 71)).hypotheses.front().condition ==
        Condition::thermostat_stuck_closed);
}
