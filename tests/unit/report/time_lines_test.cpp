// SPDX-License-Identifier: Apache-2.0
// Values over time: gaps stay gaps, extremes are kept, and the picture does not grow with the trip.
#include "report/time_lines.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace coolband;

namespace {

Trip steady(std::size_t blocks) { return testing::MadeTrip{}.add(blocks, {}).take(); }

TimeAxis axis_of(const Trip& trip) {
  return {trip.blocks, {0.0, trip.duration_s, 100.0, 900.0}, 30.0};
}

std::size_t reaches_in(const std::vector<coolband::Stretch>& stretches) {
  std::size_t count = 0;
  for (const auto& stretch : stretches) count += stretch.size();
  return count;
}

double highest(const std::vector<coolband::Stretch>& stretches) {
  double high = -1e9;
  for (const auto& stretch : stretches)
    for (const Reach& reach : stretch) high = std::max(high, reach.high);
  return high;
}

} // namespace

TEST_CASE("a hole in the log and a silent column part a line") {
  Trip trip = steady(20);
  Blocks& blocks = trip.blocks;
  CHECK(stretches_of(axis_of(trip), blocks.coolant, blocks.coolant).size() == 1);
  for (std::size_t i = 12; i < 20; ++i) {
    blocks.start_s[i] += 600.0;
    blocks.end_s[i] += 600.0;
  }
  blocks.coolant[5] = std::nanf("");
  trip.duration_s = blocks.end_s.back();
  const auto lines = stretches_of(axis_of(trip), blocks.coolant, blocks.coolant);
  REQUIRE(lines.size() == 3);
  CHECK(lines[0].size() == 5);
  CHECK(lines[1].size() == 6);
  CHECK(lines[2].size() == 8);
  CHECK(lines[1].back().x < lines[2].front().x - 300.0);
}

TEST_CASE("a long trip is drawn by columns that keep a single spike and a hole") {
  for (const std::size_t blocks : {k_most_reaches, k_most_reaches + 1, std::size_t{50000}}) {
    Trip trip = steady(blocks);
    trip.blocks.coolant[blocks / 3] = 118.0F;
    const std::size_t hole = blocks / 2;
    for (std::size_t i = hole; i < hole + blocks / 20; ++i) trip.blocks.coolant[i] = std::nanf("");
    const auto lines = stretches_of(axis_of(trip), trip.blocks.coolant, trip.blocks.coolant);
    CHECK(lines.size() == 2);
    CHECK(reaches_in(lines) <= k_most_reaches);
    CHECK(highest(lines) == 118.0);
    CHECK(lines.front().front().x >= 100.0);
    CHECK(lines.back().back().x <= 900.0);
  }
}

TEST_CASE("slow logs have no holes between their rows") {
  Trip trip = steady(1000);
  for (std::size_t i = 0; i < 1000; ++i)
    trip.blocks.start_s[i] = trip.blocks.end_s[i] = 60.0 * static_cast<double>(i);
  trip.duration_s = 60.0 * 999.0;
  TimeAxis axis = axis_of(trip);
  axis.bridge_s = 180.0;
  CHECK(stretches_of(axis, trip.blocks.coolant, trip.blocks.coolant).size() == 1);
}

TEST_CASE("nothing is drawn of nothing, and one moment can be seen") {
  Trip trip = steady(3);
  const TimeAxis axis = axis_of(trip);
  CHECK(stretches_of(axis, {}, {}).empty());
  trip.blocks.coolant[0] = trip.blocks.coolant[2] = std::nanf("");
  SvgCanvas canvas("t", {1000.0, 100.0}, "t", "d");
  draw_line(canvas, stretches_of(axis, trip.blocks.coolant, trip.blocks.coolant),
            {0.0, 100.0, 100.0, 0.0}, {.stroke = "#1a1a1a"});
  CHECK(canvas.take().find("points=\"499.2,20.0 500.8,20.0\"") != std::string::npos);
}
