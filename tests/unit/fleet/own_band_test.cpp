// SPDX-License-Identifier: Apache-2.0
// A band that was learned here says so, until somebody changes it.
#include "fleet/own_band.hpp"

#include "coolband/band/band_file.hpp"
#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

NormalBand some_band() {
  auto band = learn_band(made_drives(8), "V 1");
  REQUIRE(band);
  return *band;
}

std::string written(const NormalBand& band, OwnMark mark) {
  return write_own_band(band, mark, fingerprint_of(band));
}

std::optional<OwnMark> mark_of(const NormalBand& band) {
  return own_mark(band, fingerprint_of(band));
}

NormalBand again(const std::string& text) {
  auto band = parse_band(text, "b");
  REQUIRE(band);
  return *band;
}

} // namespace

TEST_CASE("own band: the mark comes back, with whether the circuit was tried") {
  const NormalBand band = some_band();
  CHECK_FALSE(mark_of(band));
  CHECK_FALSE(mark_of(again(write_band(band))));
  for (const bool tried : {false, true}) {
    const auto mark = mark_of(again(written(band, {tried})));
    REQUIRE(mark);
    CHECK(mark->circuit_tried == tried);
  }
}

TEST_CASE("own band: written again it is the same, also with another mark") {
  const std::string text = written(some_band(), {false});
  CHECK(written(again(text), {false}) == text);
  CHECK(mark_of(again(written(again(text), {true})))->circuit_tried);
}

TEST_CASE("own band: changed by hand it is a given one") {
  NormalBand band = again(written(some_band(), {false}));
  REQUIRE(mark_of(band));
  band.centre_c += 0.5;
  CHECK_FALSE(mark_of(again(write_band(band))));
}

TEST_CASE("own band: marks do not change what is judged by") {
  const NormalBand band = some_band();
  const std::string bare = fingerprint_of(again(write_band(band)));
  CHECK(fingerprint_of(again(written(band, {false}))) == bare);
  CHECK(fingerprint_of(again(written(band, {true}))) == bare);
  NormalBand told = band;
  told.extra_json = "{\"history\":[]}";
  CHECK(fingerprint_of(told) == bare);
  told.centre_c += 0.1;
  CHECK(fingerprint_of(told) != bare);
}
