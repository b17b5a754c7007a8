// SPDX-License-Identifier: Apache-2.0
// What `learn` tells of a band that does not know everything.
#include "coolband/report/report.hpp"

#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

TEST_CASE("a slope is told without a range where none was seen") {
  auto band = learn_band(made_drives(8), "V");
  REQUIRE(band);
  band->load_c_per_pct = 0.1;
  band->reference_load_pct = 40.0;
  band->load_seen_pct = Range{10.0, 70.0};
  band->ambient_c_per_c = 0.2;
  band->reference_ambient_c = 15.0;
  band->ambient_seen_c = Range{-5.0, 25.0};
  const std::string whole = render_band(*band, {}, {});
  CHECK(whole.find("10 to 70 % seen") != std::string::npos);
  CHECK(whole.find("-5 to 25 °C seen") != std::string::npos);
  band->load_seen_pct.reset();
  band->ambient_seen_c.reset();
  const std::string text = render_band(*band, {}, {});
  CHECK(text.find("from 40 %") != std::string::npos);
  CHECK(text.find("from 15 °C") != std::string::npos);
  CHECK(text.find(" seen") == std::string::npos);
}
