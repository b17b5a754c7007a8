// SPDX-License-Identifier: Apache-2.0
// Lines in which a logger begins anew.
#include "import/live_headings.hpp"

#include <doctest/doctest.h>

using namespace coolband;

TEST_CASE("headings are told by what coolband knows of them") {
  CHECK(looks_like_headings("time_s,coolant_c,rpm\r\n"));
  CHECK(looks_like_headings("Zeit;K\xC3\xBChlmitteltemperatur;Drehzahl\n"));
  CHECK(looks_like_headings("\"Time [s]\",\"Coolant temperature [\xC2\xB0"
                            "C]\"\n"));
  CHECK(looks_like_headings("timestamp\tsignal\tvalue\n"));
  CHECK(looks_like_headings("noise,date,noise,coolant_c\n"));
}

TEST_CASE("rows, records, remarks and prose are none") {
  for (const char* line :
       {"12,80.5,2000\n", "-1,80\n", "\n", "", "{\"time_s\": 0, \"coolant_c\": 80}\n",
        "# time_s,coolant_c\n", "coolant_c,rpm\n", "time_s\n",
        "the time came, and the speed of it all\n", "2031-05-06T08:00:00,80\n"})
    CHECK_FALSE(looks_like_headings(line));
}
