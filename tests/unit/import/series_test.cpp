// SPDX-License-Identifier: Apache-2.0
// Signals with times of their own become rows without a value invented or lost.
#include "import/series.hpp"

#include "support/random.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

struct Log {
  std::map<Role, Series> series;
  SeriesClock clock;
  RowMap places;
  std::uint32_t row = 0;
  std::size_t refused = 0;

  void add(Role role, double time_s, float value) {
    ++row;
    places.add({row, row + 1});
    const bool kept = clock.add(series[role], {time_s, value, row}) == SeriesClock::Answer::kept;
    refused += kept ? 0U : 1U;
  }

  Recording merged() {
    SeriesByRole by_role{};
    for (const auto& [role, one] : series) by_role[static_cast<std::size_t>(role)] = &one;
    Recording recording;
    merge_series(by_role, places, recording);
    return recording;
  }
};

std::size_t known(const Recording& recording, Role role) {
  std::size_t count = 0;
  for (const float value : recording.column(role)) count += std::isnan(value) ? 0U : 1U;
  return count;
}

} // namespace

TEST_CASE("signals polled in turn share the row of their turn, at the time of its first sample") {
  Log log;
  for (int i = 0; i < 5; ++i) {
    log.add(Role::coolant, i, static_cast<float>(80 + i));
    log.add(Role::rpm, i + 0.3, 900.0F);
    log.add(Role::speed, i + 0.6, 30.0F);
  }
  const Recording recording = log.merged();
  REQUIRE(recording.size() == 5);
  CHECK(recording.time_s == std::vector<double>{0, 1, 2, 3, 4});
  CHECK(recording.column(Role::coolant) == std::vector<float>{80, 81, 82, 83, 84});
  CHECK(recording.column(Role::rpm) == std::vector<float>(5, 900.0F));
  CHECK(recording.row_map.at(2).row == 7);
  CHECK(recording.row_map.at(2).line == 8);
}

TEST_CASE("a signal that was not asked in a turn is missing there: nothing is held") {
  Log log;
  for (int i = 0; i < 6; ++i) {
    log.add(Role::coolant, i, 80.0F);
    if (i % 3 == 0) log.add(Role::ambient, i + 0.5, 21.0F);
  }
  const Recording recording = log.merged();
  REQUIRE(recording.size() == 6);
  CHECK(known(recording, Role::ambient) == 2);
  CHECK(recording.column(Role::ambient)[3] == 21.0F);
}

TEST_CASE("a fast signal keeps every sample, the slow one is not repeated for it") {
  Log log;
  for (int i = 0; i < 100; ++i) {
    log.add(Role::rpm, i * 0.1, static_cast<float>(i));
    if (i % 20 == 0) log.add(Role::coolant, i * 0.1, 80.0F);
  }
  const Recording recording = log.merged();
  CHECK(known(recording, Role::rpm) == 100);
  CHECK(known(recording, Role::coolant) == 5);
}

TEST_CASE("where signals share their stamps a row is a stamp") {
  Log log;
  for (int i = 0; i < 10; ++i) {
    log.add(Role::coolant, i * 0.25, 80.0F);
    if (i != 4) log.add(Role::load, i * 0.25, 40.0F);
  }
  log.add(Role::load, 2.4, 50.0F);
  const Recording recording = log.merged();
  REQUIRE(recording.size() == 11);
  CHECK(std::isnan(recording.column(Role::load)[4]));
  CHECK(std::isnan(recording.column(Role::coolant)[10]));
}

TEST_CASE("one signal behind the other is the same log as turn by turn") {
  Log turns;
  Log blocks;
  for (int i = 0; i < 400; ++i) {
    turns.add(Role::coolant, i, 80.0F);
    turns.add(Role::rpm, i + 0.4, static_cast<float>(i));
  }
  for (int i = 0; i < 400; ++i) blocks.add(Role::coolant, i, 80.0F);
  for (int i = 0; i < 400; ++i) blocks.add(Role::rpm, i + 0.4, static_cast<float>(i));
  CHECK(blocks.refused == 0);
  const Recording a = turns.merged();
  const Recording b = blocks.merged();
  CHECK(a.time_s == b.time_s);
  CHECK(a.column(Role::rpm) == b.column(Role::rpm));
}

TEST_CASE("a clock set anew starts another drive for all signals, in either order of the log") {
  Log turns;
  Log blocks;
  const auto drive = [](Log& log, Role role, int from, int to) {
    for (int i = from; i < to; ++i) log.add(role, i, static_cast<float>(i));
  };
  for (int part = 0; part < 2; ++part) {
    for (int i = 0; i < 300; ++i) {
      turns.add(Role::coolant, i, static_cast<float>(i));
      turns.add(Role::rpm, i, static_cast<float>(i));
    }
  }
  for (const Role role : {Role::coolant, Role::rpm}) {
    drive(blocks, role, 0, 300);
    drive(blocks, role, 0, 300);
  }
  for (Log* log : {&turns, &blocks}) {
    CHECK(log->clock.drives() == 2);
    const Recording recording = log->merged();
    REQUIRE(recording.size() == 600);
    CHECK(recording.time_s[299] == 299.0);
    CHECK(recording.time_s[300] == 0.0);
    CHECK(recording.column(Role::coolant) == std::vector<float>(recording.column(Role::rpm).begin(),
                                                                recording.column(Role::rpm).end()));
  }
}

TEST_CASE("a sample that steps back a little is refused, its neighbours are not") {
  Log log;
  for (const double time_s : {0.0, 1.0, 2.0, 1.5, 3.0}) log.add(Role::coolant, time_s, 80.0F);
  CHECK(log.refused == 1);
  CHECK(log.merged().time_s == std::vector<double>{0, 1, 2, 3});
}

TEST_CASE("no sample is lost or doubled, whatever the order and the rates") {
  Random random(5);
  for (int trial = 0; trial < 50; ++trial) {
    Log log;
    std::map<Role, std::size_t> added;
    double time_s = 0.0;
    for (int i = 0; i < 500; ++i) {
      time_s += random.between(0.0, 3.0);
      const auto role = static_cast<Role>(1 + random.below(6));
      log.add(role, time_s, static_cast<float>(i));
      ++added[role];
    }
    if (added[Role::coolant] == 0) continue;
    const Recording recording = log.merged();
    for (const auto& [role, count] : added) CHECK(known(recording, role) == count);
    for (std::size_t i = 1; i < recording.size(); ++i)
      CHECK(recording.time_s[i] >= recording.time_s[i - 1]);
  }
}
