// SPDX-License-Identifier: Apache-2.0
#include "fleet/trend_days.hpp"

#include <doctest/doctest.h>

using namespace coolband;

TEST_CASE("days and instants lie on one line") {
  CHECK(days_of("1970-01-02") == 1.0);
  CHECK(days_of("1970-01-01T12:00:00") == 0.5);
  CHECK(days_of("1970-01-01T12:00:00Z") == 0.5);
  CHECK(days_of("1970-01-01T12:00:00+06:00") == 0.25);
  CHECK(days_of("1970-01-01T12:00:00-06:00") == 0.75);
  CHECK(days_of("2031-03-01").value() - days_of("2031-02-28").value() == 1.0);
}

TEST_CASE("what is no instant has no day") {
  for (const char* text : {"", "07:08:09", "2031", "2031-13-01", "2031-02-30", "2031/05/06",
                           "2031-05-06T07", "2031-05-06Tab:cd:ef", "-031-05-06"}) {
    CAPTURE(text);
    CHECK_FALSE(days_of(text));
  }
}
