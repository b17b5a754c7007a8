// SPDX-License-Identifier: Apache-2.0
// Which of two drives came first, whatever clocks their logs have.
#include "repair/moment.hpp"

#include <doctest/doctest.h>

using namespace coolband;

TEST_CASE("instants of one kind of clock are compared to the second") {
  const Clock local{ClockKind::date_time, 1000.0, 0};
  CHECK(is_earlier(*moment_at(local, 0.0), *moment_at(local, 1.0)));
  CHECK_FALSE(is_earlier(*moment_at(local, 0.0), *moment_at(local, 0.0)));
  const Clock utc{ClockKind::absolute, 1000.0, 600}; // the offset is for printing only
  CHECK(is_earlier(*moment_at(utc, 0.0), *moment_at({ClockKind::absolute, 1001.0, 0}, 0.0)));
}

TEST_CASE("a time without a zone is sure to be earlier only beyond 14 hours") {
  const auto local = moment_at({ClockKind::date_time, 0.0, 0}, 0.0);
  CHECK_FALSE(is_earlier(*local, *moment_at({ClockKind::absolute, 14.0 * 3600.0, 0}, 0.0)));
  CHECK(is_earlier(*local, *moment_at({ClockKind::absolute, 14.0 * 3600.0 + 1.0, 0}, 0.0)));
}

TEST_CASE("a clock without a date has no instant") {
  CHECK_FALSE(moment_at({ClockKind::elapsed, 5.0, 0}, 0.0));
  CHECK_FALSE(moment_at({ClockKind::clock_of_day, 5.0, 0}, 0.0));
}
