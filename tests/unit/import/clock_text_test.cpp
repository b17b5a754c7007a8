// SPDX-License-Identifier: Apache-2.0
// Times and dates cell by cell. Seconds since 1970 checked with GNU date -u -d ... +%s.
#include "import/clock_text.hpp"

#include <doctest/doctest.h>

using namespace coolband;

namespace {

double clock_s(std::string_view text) {
  double seconds = -1.0;
  return read_clock_time(text, seconds) ? seconds : -1.0;
}

double instant_s(std::string_view text, DateOrder order = DateOrder::unknown) {
  Instant instant;
  return read_date_time(text, order, instant) ? instant.seconds : -1.0;
}

// 2024-03-04 05:06:07 UTC
constexpr double k_march_s = 1709528767.0;

} // namespace

TEST_CASE("clock times are read with and without seconds, fractions and half days") {
  CHECK(clock_s("08:57") == 32220.0);
  CHECK(clock_s("08:57:05") == 32225.0);
  CHECK(clock_s("8:57:05.521") == doctest::Approx(32225.521).epsilon(1e-12));
  CHECK(clock_s("08:57:05,521") == doctest::Approx(32225.521).epsilon(1e-12));
  CHECK(clock_s("08:57:05:521") == doctest::Approx(32225.521).epsilon(1e-12));
  CHECK(clock_s("12:00:00 AM") == 0.0);
  CHECK(clock_s("12:30 pm") == 45000.0);
  CHECK(clock_s("1:02:03PM") == 46923.0);
  for (const char* text : {"", "8", "24:00", "12:60", "12:5", "12:05:61", "13:00 PM", "0:10 AM",
                           "12:05:1", "12:05x"}) {
    CHECK_MESSAGE(clock_s(text) == -1.0, text);
  }
}

TEST_CASE("two parts with a fraction are minutes and seconds") {
  double seconds = 0.0;
  CHECK((read_minutes("57:05.5", seconds) && seconds == 3425.5));
  CHECK_FALSE(read_minutes("57:05", seconds));
  CHECK_FALSE(read_minutes("57:65.1", seconds));
}

TEST_CASE("dates with the year first need no order") {
  for (const char* text :
       {"2024-03-04T05:06:07", "2024-03-04 05:06:07", "2024/03/04 05:06:07", "2024-03-04T05:06:07Z",
        "2024-03-04 05:06:07 UTC", "2024-03-04T07:06:07+02:00", "2024-03-04T07:06:07 +0200",
        "2024-03-04T00:06:07-05", "04-Mar-2024 05:06:07", "4 March 2024 5:06:07 AM",
        "04.03.2024 05:06:07", "04.03.24 05:06:07"}) {
    CHECK_MESSAGE(instant_s(text) == k_march_s, text);
  }
}

TEST_CASE("dates with the day or month first are read only when the order is known") {
  CHECK(instant_s("04/03/2024 05:06:07") == -1.0);
  CHECK(instant_s("04/03/2024 05:06:07", DateOrder::dmy) == k_march_s);
  CHECK(instant_s("03/04/2024 05:06:07", DateOrder::mdy) == k_march_s);
  CHECK(instant_s("3-4-2024 05:06:07", DateOrder::mdy) == k_march_s);
}

TEST_CASE("what is no date and time is refused") {
  for (const char* text :
       {"2024-13-04 05:06:07", "2024-02-30 05:06:07", "2024-03-04", "2024-03-04x05:06:07",
        "2024-03-04 05:06:07 ABC", "2024-03-04T05:06:07+2", "90", "1709528767"}) {
    CHECK_MESSAGE(instant_s(text) == -1.0, text);
  }
}

TEST_CASE("compact dates are read, and large counters are not taken for them") {
  Instant instant;
  CHECK((read_compact("20240304050607", instant) && instant.seconds == k_march_s));
  CHECK(
      (read_compact("20240304T050607Z", instant) && instant.seconds == k_march_s && instant.zoned));
  CHECK_FALSE(read_compact("1709528767000000", instant));
  CHECK_FALSE(read_compact("1709528767000", instant));
  CHECK_FALSE(read_compact("20240304250607", instant));
}
