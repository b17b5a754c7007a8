// SPDX-License-Identifier: Apache-2.0
// Times and dates cell by cell. Seconds since 1970 checked with GNU date -u -d ... +%s.
#include "import/clock_text.hpp"

#include "coolband/core/timestamp.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

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
  CHECK(clock_s("5:06:07 p. m.") == 61567.0);
  CHECK(clock_s("5:06:07\xE2\x80\xAFPM") == 61567.0); // a narrow no-break space
  CHECK(clock_s("12:00 a.m.") == 0.0);
  CHECK(clock_s("24:00:00") == 86400.0);
  CHECK(clock_s("23:59:60") == 86400.0);
  for (const char* text : {"", "8", "24:01", "24:00:00.5", "12:60", "12:5", "12:05:61", "13:00 PM",
                           "0:10 AM", "12:05:1", "12:05x", "123:05"}) {
    CHECK_MESSAGE(clock_s(text) == -1.0, text);
  }
}

TEST_CASE("minutes and seconds go as far as they like, hours too") {
  double seconds = 0.0;
  CHECK((read_minutes("57:05.5", seconds) && seconds == 3425.5));
  CHECK((read_minutes("125:05", seconds) && seconds == 7505.0));
  CHECK((read_minutes("-0:05", seconds) && seconds == -5.0));
  CHECK_FALSE(read_minutes("57:65.1", seconds));
  CHECK_FALSE(read_minutes("1:57:05", seconds));
  CHECK((read_span("1:02:03,5", seconds) && seconds == 3723.5));
  CHECK((read_span("100:00:01", seconds) && seconds == 360001.0));
  CHECK((read_span("1.02:03:04", seconds) && seconds == 93784.0));
  CHECK((read_span("-0:00:05", seconds) && seconds == -5.0));
  for (const char* text : {"1:2:03", "1:02", "1:60:00", "1:00:60", "x", "", "1:00:00 x"}) {
    CHECK_FALSE_MESSAGE(read_span(text, seconds), text);
  }
}

TEST_CASE("durations of ISO 8601 are read in days and less") {
  double seconds = 0.0;
  CHECK((read_duration("PT1M5.5S", seconds) && seconds == 65.5));
  CHECK((read_duration("P1DT2H", seconds) && seconds == 93600.0));
  CHECK((read_duration("pt0s", seconds) && seconds == 0.0));
  for (const char* text : {"P", "PT", "P1M", "PT5", "1M", "PT5S1M", "P1Y"}) {
    CHECK_FALSE_MESSAGE(read_duration(text, seconds), text);
  }
}

TEST_CASE("dates with the year first need no order") {
  for (const char* text : {"2024-03-04T05:06:07",
                           "2024-03-04 05:06:07",
                           "2024/03/04 05:06:07",
                           "2024-03-04T05:06:07Z",
                           "2024-03-04 05:06:07 UTC",
                           "2024-03-04T07:06:07+02:00",
                           "2024-03-04T07:06:07 +0200",
                           "2024-03-04T00:06:07-05",
                           "04-Mar-2024 05:06:07",
                           "4 March 2024 5:06:07 AM",
                           "04.03.2024 05:06:07",
                           "04.03.24 05:06:07",
                           "2024-03-04t05:06:07z",
                           "2024-03-04T05:06:07\xE2\x88\x92"
                           "00:00",
                           "2024-064T05:06:07",
                           "2024-W10-1T05:06:07",
                           "20240304 05:06:07",
                           "2024-03-04_05:06:07",
                           "2024-03-04 5:06:07 AM",
                           "2024-03-04T05:06:07,000+0000",
                           "Monday, 4 March 2024 05:06:07",
                           "2024-Mar-04 05:06:07"}) {
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
        "2024-03-04 05:06:07 ABC", "2024-03-04T05:06:07+2", "90", "1709528767", "2024-366x05:06:07",
        "2023-366T05:06:07", "2024-W53-1T05:06:07", "2024-03-04T05:06:07+15:00",
        "2024-03-04T05:06:0", "2024-03-04T05:06:07.", "2024-03-4-05:06:07"}) {
    CHECK_MESSAGE(instant_s(text) == -1.0, text);
  }
}

TEST_CASE("compact dates are read, and large counters are not taken for them") {
  Instant instant;
  CHECK((read_compact("20240304050607", instant) && instant.seconds == k_march_s));
  CHECK(
      (read_compact("20240304T050607Z", instant) && instant.seconds == k_march_s && instant.zoned));
  CHECK((read_compact("20240304050607500", instant) && instant.seconds == k_march_s + 0.5));
  CHECK((read_compact("20240304T0506", instant) && instant.seconds == k_march_s - 7.0));
  CHECK((read_compact("20240304t070607,5+0200", instant) && instant.seconds == k_march_s + 0.5));
  CHECK_FALSE(read_compact("1709528767000000", instant));
  CHECK_FALSE(read_compact("2024030405060", instant));
  CHECK_FALSE(read_compact("2024030405060712", instant));
  CHECK_FALSE(read_compact("1709528767000", instant));
  CHECK_FALSE(read_compact("20240304250607", instant));
}

TEST_CASE("every instant that is written is read back, by the fast road and by the slow one") {
  std::mt19937_64 random(7);
  std::uniform_int_distribution<std::int64_t> seconds(0, 4102444799); // 1970 to 2099
  for (int i = 0; i < 5000; ++i) {
    const auto instant = static_cast<double>(seconds(random));
    const int offset_min = static_cast<int>(random() % 105) * 15 - 720;
    std::string text = format_instant({ClockKind::absolute, instant, offset_min}, 0.0);
    CHECK_MESSAGE(instant_s(text) == instant, text);
    text[10] = 't';
    CHECK_MESSAGE(instant_s(text) == instant, text);
    std::string local = format_instant({ClockKind::date_time, instant, 0}, 0.0);
    std::string compact = local;
    std::erase_if(compact, [](char c) { return c == '-' || c == ':'; });
    Instant read;
    CHECK_MESSAGE((read_compact(compact, read) && read.seconds == instant), compact);
    local = local.substr(8, 2) + '/' + local.substr(5, 2) + '/' + local.substr(0, 4) + ' ' +
            local.substr(11);
    CHECK_MESSAGE(instant_s(local, DateOrder::dmy) == instant, local);
  }
}

TEST_CASE("texts made of the pieces of times give a finite time or none") {
  const char* pieces[] = {"20",       "2024", "-",  "/",  ":", ".",  "T",   "W",
                          " ",        "Mar",  "AM", "p.", "m", "Z",  "+",   "\xE2\x88\x92",
                          "\xC3\xA4", "\xC5", "PT", "S",  "5", "60", "de ", ",",
                          "99999999", "Mon",  "0",  "D"};
  std::mt19937 random(11);
  for (int i = 0; i < 50000; ++i) {
    std::string text;
    for (std::size_t n = random() % 12; n > 0; --n) text += pieces[random() % std::size(pieces)];
    // Exactly as long as the text, so that a sanitizer sees a look behind its end.
    const std::vector<char> bytes(text.begin(), text.end());
    const std::string_view cell(bytes.data(), bytes.size());
    Instant instant;
    double seconds = 0.0;
    for (const DateOrder order : {DateOrder::unknown, DateOrder::dmy, DateOrder::ymd})
      if (read_date_time(cell, order, instant)) CHECK(std::abs(instant.seconds) < 1e12);
    if (read_compact(cell, instant)) CHECK(std::abs(instant.seconds) < 1e12);
    if (read_clock_time(cell, seconds)) CHECK((seconds >= 0.0 && seconds <= 86400.0));
    if (read_span(cell, seconds)) CHECK(std::abs(seconds) < 1e12);
    if (read_minutes(cell, seconds)) CHECK(std::abs(seconds) < 1e9);
    if (read_duration(cell, seconds)) CHECK((seconds >= 0.0 && seconds < 1e15));
  }
}
