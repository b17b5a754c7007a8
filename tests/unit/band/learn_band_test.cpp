// SPDX-License-Identifier: Apache-2.0
// From drives to the band: order, batches, faulty drives among sound ones, honesty about few.
#include "coolband/band/band_file.hpp"
#include "coolband/band/normal_band.hpp"

#include "support/texts.hpp"
#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

NormalBand learned(std::vector<DriveSummary> drives, const LearnOptions& options = {}) {
  const auto band = learn_band(std::move(drives), "V", std::nullopt, options);
  REQUIRE(band);
  return *band;
}

bool left_out(const NormalBand& band, const std::string& name) {
  return std::any_of(band.left_out.begin(), band.left_out.end(),
                     [&](const LeftOut& left) { return left.drive.source == name; });
}

/// As `learn --update` does it: through the file.
NormalBand updated(const NormalBand& first, const std::vector<DriveSummary>& more) {
  const auto band = parse_band(write_band(first), "band.json");
  REQUIRE(band);
  const auto both = update_band(*band, more);
  REQUIRE(both);
  return *both;
}

} // namespace

TEST_CASE("ten sound drives give a band about their level") {
  const NormalBand band = learned(made_drives(10));
  CHECK(band.origin == BandOrigin::learned);
  CHECK(std::abs(band.centre_c - 80.0) < 0.6);
  CHECK(band.drives.size() == 10);
  CHECK(band.left_out.empty());
  CHECK(band.half_width_c > 2.0 * band.within_c);
  CHECK(band.half_width_c < 5.0);
  CHECK(*band.load_c_per_pct == doctest::Approx(0.05));
  CHECK(*band.reference_load_pct == 35.0);
  CHECK(*band.reference_ambient_c == 15.0);
  CHECK(band.load_seen_pct->low == 18.0);
  CHECK(band.ambient_seen_c->low == 4.0);
  CHECK(band.ambient_seen_c->high == 26.0);
  CHECK(band.spread_c() == doctest::Approx(std::hypot(band.between_c, band.within_c)));
}

TEST_CASE("the order of the drives does not matter, to the last bit") {
  auto drives = made_drives(10);
  const std::string straight = write_band(learned(drives));
  std::reverse(drives.begin(), drives.end());
  CHECK(write_band(learned(drives)) == straight);
  std::rotate(drives.begin(), drives.begin() + 3, drives.end());
  CHECK(write_band(learned(drives)) == straight);
}

TEST_CASE("two batches through a band file give the same bytes as all drives at once") {
  auto drives = made_drives(12, 5);
  drives[2] = made_drive("faulty", 69.0, 9.0);
  const std::vector<DriveSummary> first(drives.begin(), drives.begin() + 5);
  const std::vector<DriveSummary> second(drives.begin() + 5, drives.end());
  CHECK(write_band(updated(learned(first), second)) == write_band(learned(drives)));
}

TEST_CASE("a dated drive counts once under whatever names, and that is said") {
  auto drives = made_drives(8);
  for (std::size_t i = 0; i < drives.size(); ++i)
    drives[i].start = "2031-05-0" + std::to_string(i + 1) + "T08:00:00";
  const auto once = learn_band(drives, "V1");
  drives.push_back(drives[3]);
  drives.back().source = "copy of d3";
  const auto twice = learn_band(drives, "V1");
  REQUIRE(once);
  REQUIRE(twice);
  CHECK(twice->drives.size() == 8);
  CHECK(twice->centre_c == once->centre_c);
  const auto said = [](const NormalBand& band) {
    return std::find(band.notes.begin(), band.notes.end(),
                     "1 drive given under two names counts once") != band.notes.end();
  };
  CHECK(said(*twice));
  CHECK_FALSE(said(*once));
}

TEST_CASE("a drive given twice counts once") {
  auto drives = made_drives(6);
  const std::string once = write_band(learned(drives));
  drives.push_back(drives[3]);
  CHECK(write_band(learned(drives)) == once);
}

TEST_CASE("three faulty drives among ten are left out and move the centre by less than a spread") {
  const auto sound = made_drives(10);
  for (const double faulty_c : {70.0, 90.0}) {
    auto mixed = sound;
    for (const std::size_t i : {1U, 4U, 8U}) set_level(mixed[i], faulty_c);
    const NormalBand band = learned(mixed);
    CHECK(band.left_out.size() == 3);
    CHECK(left_out(band, "d1"));
    CHECK(left_out(band, "d4"));
    CHECK(left_out(band, "d8"));
    const NormalBand clean = learned(sound);
    CHECK(std::abs(band.centre_c - clean.centre_c) < clean.spread_c());
  }
}

TEST_CASE("whatever is wrong with three drives of ten, the band moves by less than one spread") {
  struct Wrong {
    double level_k;   ///< beside the sound level
    double scatter_k; ///< more than sound
    double load_slope;
  };
  for (const Wrong& wrong :
       {Wrong{-2.8, 0.0, 0.05}, Wrong{-4.0, 0.5, 0.05}, Wrong{6.0, 0.0, 0.3}, Wrong{0.0, 2.5, 0.05},
        Wrong{-15.0, 1.0, -0.2}, Wrong{2.9, 1.5, 0.25}}) {
    for (const std::uint64_t seed : {1U, 2U, 3U, 4U}) {
      const auto sound = made_drives(10, seed);
      auto mixed = sound;
      for (const std::size_t i : {0U, 5U, 9U}) {
        mixed[i].scatter_c += wrong.scatter_k;
        set_level(mixed[i], mixed[i].level_c + wrong.level_k);
        set_load(mixed[i], {35.0, 12.0, wrong.load_slope});
      }
      const NormalBand clean = learned(sound);
      const NormalBand band = learned(mixed);
      CAPTURE(wrong.level_k);
      CAPTURE(seed);
      for (const double load_pct : {25.0, 35.0, 50.0}) {
        Conditions conditions;
        conditions.load_pct = load_pct;
        conditions.ambient_c = 15.0;
        const Prediction by_clean = predict(clean, conditions);
        const Prediction by_mixed = predict(band, conditions);
        CHECK(std::abs(by_mixed.centre_c - by_clean.centre_c) < clean.spread_c());
      }
    }
  }
}

TEST_CASE("a faulty drive on a frosty day is not taken for weather") {
  auto drives = made_drives(9);
  drives.push_back(made_drive("frost", 70.0, -8.0));
  const NormalBand band = learned(drives);
  CHECK(left_out(band, "frost"));
  CHECK(mentions({band.left_out.front().reason}, "where the other drives run at"));
}

TEST_CASE("a sound drive on a frosty day stays in") {
  auto drives = made_drives(9);
  drives.push_back(made_drive("frost", 79.0, -8.0));
  CHECK(learned(drives).left_out.empty());
}

TEST_CASE("a drive that swings about its level is left out though its level is right") {
  auto drives = made_drives(8);
  drives[5].scatter_c = 5.5;
  const NormalBand band = learned(drives);
  CHECK(left_out(band, "d5"));
  CHECK(mentions({band.left_out.front().reason}, "swings by 5.5 K"));
}

TEST_CASE("drives that contradict each other are refused, with each named") {
  std::vector<DriveSummary> drives{made_drive("a", 70.0), made_drive("b", 80.0),
                                   made_drive("c", 90.0), made_drive("d", 100.0)};
  const auto band = learn_band(drives, "V");
  REQUIRE_FALSE(band);
  CHECK(band.error().kind == ErrorKind::input);
  CHECK(band.error().message.find("contradict each other") != std::string::npos);
  for (const char* name : {"a ", "b ", "c ", "d "})
    CHECK(band.error().message.find(std::string(" ") + name) != std::string::npos);
  CHECK(band.error().remedy.find("--keep-all") != std::string::npos);
}

TEST_CASE("two drives ten kelvins apart: neither is normal") {
  CHECK_FALSE(learn_band({made_drive("a", 70.0), made_drive("b", 80.0)}, "V"));
}

TEST_CASE("many drives side by side are of one kind, two groups of them are not") {
  // Weather and load not logged: levels over 10 K.
  const auto over = [](const std::vector<double>& levels_c) {
    std::vector<DriveSummary> drives;
    for (const double level_c : levels_c) {
      drives.push_back(made_drive("d" + std::to_string(drives.size()), level_c));
      drives.back().ambient_mean_c = std::nullopt;
      drives.back().ambient_seen_c = std::nullopt;
    }
    return learn_band(drives, "V");
  };
  const auto band = over({80.0, 81.0, 82.5, 83.5, 84.5, 85.0, 86.0, 87.0, 88.5, 90.0});
  REQUIRE(band);
  CHECK(band->left_out.empty());
  CHECK(band->centre_c == doctest::Approx(84.8));
  CHECK(band->half_width_c > 5.0);
  CHECK_FALSE(over({80.0, 81.0, 81.5, 82.0, 82.5, 87.5, 88.0, 88.5, 89.0, 90.0})); // a gap
  CHECK_FALSE(over({80.0, 82.0, 84.0, 86.0, 88.0, 90.0}));                         // too few
}

TEST_CASE("where no weather was logged a drive may lie farther off before it is left out") {
  const auto farthest_off = [](bool with_weather) {
    auto drives = made_drives(12);
    for (std::size_t i = 0; i < drives.size(); ++i) {
      set_level(drives[i], 76.4 + 0.6 * static_cast<double>(5 * i % 12));
      if (with_weather) continue;
      drives[i].ambient_mean_c = std::nullopt;
      drives[i].ambient_seen_c = std::nullopt;
    }
    set_level(drives[3], 85.5);
    return learned(drives).left_out.size();
  };
  CHECK(farthest_off(true) == 1);
  CHECK(farthest_off(false) == 0);
}

TEST_CASE("keep-all learns from every drive and is honest about the width") {
  std::vector<DriveSummary> drives{made_drive("a", 75.0), made_drive("b", 80.0),
                                   made_drive("c", 85.0)};
  LearnOptions options;
  options.keep_all = true;
  const NormalBand band = learned(drives, options);
  CHECK(band.drives.size() == 3);
  CHECK(band.left_out.empty());
  CHECK(band.centre_c == doctest::Approx(80.0));
  CHECK(band.half_width_c > 10.0);
}

TEST_CASE("a band that would hold everything is refused even with keep-all") {
  LearnOptions options;
  options.keep_all = true;
  const auto band =
      learn_band({made_drive("a", 60.0), made_drive("b", 100.0)}, "V", std::nullopt, options);
  REQUIRE_FALSE(band);
  CHECK(band.error().message.find("no usable band") != std::string::npos);
}

TEST_CASE("no drive at all is refused") {
  const auto band = learn_band({}, "V");
  REQUIRE_FALSE(band);
  CHECK(band.error().message == "no drive to learn from");
}

TEST_CASE("the band of one drive is wide and says on how little it rests") {
  const NormalBand one = learned({made_drive("a", 80.0)});
  const NormalBand ten = learned(made_drives(10));
  CHECK(one.centre_c == doctest::Approx(80.0));
  CHECK(one.half_width_c > 1.3 * ten.half_width_c);
  CHECK(mentions(one.notes, "rests on 1 drive:"));
  CHECK_FALSE(mentions(ten.notes, "rests on"));
}

TEST_CASE("a coarse reading that never moves does not make a band of no width") {
  auto drives = made_drives(10);
  for (DriveSummary& drive : drives) {
    drive.scatter_c = 0.0;
    set_level(drive, 80.0);
    set_load(drive, {35.0, 12.0, 0.0});
  }
  const NormalBand band = learned(drives);
  // Rounding alone has an s.d. of a step over the root of 12: 0.289 K.
  CHECK(band.within_c >= 1.0 / std::sqrt(12.0) - 1e-9);
  CHECK(band.half_width_c > 2.0 * band.within_c);
}

TEST_CASE("the effect of the weather takes five drives over ten kelvins") {
  std::vector<DriveSummary> drives;
  for (int i = 0; i < 6; ++i)
    drives.push_back(
        made_drive("d" + std::to_string(i), 80.0 + 0.1 * (4.0 * i - 10.0), 5.0 + 4.0 * i));
  const NormalBand band = learned(drives);
  REQUIRE(band.ambient_c_per_c);
  CHECK(*band.ambient_c_per_c == doctest::Approx(0.1).epsilon(0.01));
  CHECK(band.centre_c == doctest::Approx(80.0).epsilon(0.001));

  const NormalBand few = learned({drives[0], drives[2], drives[4], drives[5]});
  CHECK_FALSE(few.ambient_c_per_c);
  CHECK(mentions(few.notes, "no ambient effect"));
  for (DriveSummary& drive : drives) drive.ambient_mean_c = 15.0;
  CHECK_FALSE(learned(drives).ambient_c_per_c);
}

TEST_CASE("drives at another load agree once they are brought to the reference load") {
  std::vector<DriveSummary> drives;
  for (int i = 0; i < 6; ++i) {
    DriveSummary drive = made_drive("d" + std::to_string(i), 0.0);
    const double load_pct = 20.0 + 10.0 * i;
    drive.level_c = 80.0 + 0.05 * (load_pct - 45.0);
    set_load(drive, {load_pct});
    drives.push_back(drive);
  }
  const NormalBand band = learned(drives);
  CHECK(*band.reference_load_pct == 45.0);
  CHECK(band.centre_c == doctest::Approx(80.0));
}

TEST_CASE("a faulty drive's slope on load does not become the vehicle's") {
  auto drives = made_drives(7);
  set_load(drives[0], {35.0, 12.0, -2.0});
  set_load(drives[1], {35.0, 12.0, 3.0});
  set_load(drives[2], {35.0, 12.0, 3.0});
  CHECK(*learned(drives).load_c_per_pct == doctest::Approx(0.05));
  for (DriveSummary& drive : drives) set_load(drive, {35.0, 12.0, 3.0});
  CHECK_FALSE(learn_band(drives, "V")); // no sound vehicle follows its load so
}

TEST_CASE("a centre below the thermostat's rating raises the question whether all are faulty") {
  VehicleProfile profile;
  profile.id = "V";
  profile.thermostat_opens_c = 88.0;
  const auto band = learn_band(made_drives(8), "V", profile);
  REQUIRE(band);
  CHECK(mentions(band->notes, "may all be faulty"));
  CHECK(*band->opens_c == 88.0);
  profile.thermostat_opens_c = 76.0;
  CHECK_FALSE(mentions(learn_band(made_drives(8), "V", profile)->notes, "may all be faulty"));
}

TEST_CASE("more drives give a narrower band") {
  double before = 1e9;
  for (const std::size_t count : {1U, 3U, 10U, 40U}) {
    const double half = learned(made_drives(count, 3)).half_width_c;
    CHECK(half < before);
    before = half;
  }
}
