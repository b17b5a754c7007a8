// SPDX-License-Identifier: Apache-2.0
// What normal running does once in 100 h, one by one and together.
#include "diagnose/chance.hpp"

#include "diagnose/episodes.hpp"
#include "numeric/distributions.hpp"
#include "unit/condition/made_recording.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Half an hour warm: 15 independent looks of two minutes.
Deviations half_an_hour() {
  const Trip trip = MadeTrip{}.add(180, {}).take();
  return deviations_from(trip, made_band(), {});
}

Episode strayed(double mean_k, double length_s) {
  Episode episode;
  episode.direction = mean_k < 0.0 ? Direction::below : Direction::above;
  episode.mean_deviation_c = mean_k;
  episode.threshold_c = 2.0; // no wider than 0.5 K and 0.9 K make it (1.96 times 1.03 K)
  episode.logged_s = length_s;
  return episode;
}

/// Near enough to a standard normal: the sum of twelve even ones.
double drawn_normal(Noise& noise) {
  double sum = 0.0;
  for (int i = 0; i < 12; ++i) sum += 0.5 * noise.next();
  return sum;
}

std::size_t still_there(std::vector<Episode> episodes, const NormalBand& band = made_band()) {
  drop_chance(episodes, band, half_an_hour());
  return episodes.size();
}

} // namespace

TEST_CASE("an episode stays where sound drives have the like less than once in 100 h") {
  // One look of two minutes: one of 3000 in 100 h. Strays by the root of 0.5² + 0.9² K.
  const double least_k = -normal_quantile(1.0 / 3000.0) * std::hypot(0.5, 0.9);
  CHECK(least_k == doctest::Approx(3.50).epsilon(0.01));
  CHECK(still_there({strayed(least_k + 0.01, 60.0)}) == 1);
  CHECK(still_there({strayed(least_k - 0.01, 60.0)}) == 0);
  CHECK(still_there({strayed(-least_k - 0.01, 120.0)}) == 1);
  CHECK(still_there({strayed(-least_k + 0.01, 120.0)}) == 0);
}

TEST_CASE("the longer it lasts, the less it takes: down to what drives differ by") {
  const double least_k = -normal_quantile(9.0 / 3000.0) * std::hypot(0.5, 0.9 / 3.0);
  CHECK(least_k == doctest::Approx(1.60).epsilon(0.01));
  CHECK(still_there({strayed(least_k + 0.01, 1080.0)}) == 1);
  CHECK(still_there({strayed(least_k - 0.01, 1080.0)}) == 0);
}

TEST_CASE("where the threshold is wider than the spread makes it, so is chance") {
  Episode episode = strayed(4.0, 60.0);
  CHECK(still_there({episode}) == 1);
  episode.threshold_c = 3.0;
  CHECK(still_there({episode}) == 0);
}

TEST_CASE("several together are rarer than each") {
  // Each of 3.3 K is one that sound drives have: three in half an hour are not.
  CHECK(still_there({strayed(-3.3, 60.0)}) == 0);
  CHECK(still_there({strayed(-3.3, 60.0), strayed(3.3, 60.0), strayed(-3.3, 60.0)}) == 3);
  // What is common among them goes all the same.
  CHECK(still_there({strayed(-3.3, 60.0), strayed(1.0, 60.0), strayed(3.3, 60.0),
                     strayed(-3.3, 60.0)}) == 3);
}

TEST_CASE("how many were dropped is told") {
  std::vector<Episode> episodes{strayed(1.0, 60.0), strayed(8.0, 60.0), strayed(-1.0, 60.0)};
  CHECK(drop_chance(episodes, made_band(), half_an_hour()) == 2);
  CHECK(chance_words(1).find("one stretch outside the band is no more than") == 0);
  CHECK(chance_words(2).find("2 stretches outside the band are no more than") == 0);
}

TEST_CASE("what conditions explain stays, as does all where no spread was learned") {
  Episode explained = strayed(1.0, 60.0);
  explained.explained_by = Explanation::heavy_load;
  CHECK(still_there({explained, strayed(1.0, 60.0)}) == 1);
  NormalBand band = made_band();
  band.origin = BandOrigin::profile;
  CHECK(still_there({strayed(1.0, 60.0)}, band) == 1);
}

TEST_CASE("normal running by the numbers of the band has an episode in one drive of many") {
  // A reading that strays by the band's own spreads, drawn anew every two minutes, the level every
  // drive.
  const NormalBand band = made_band(2.5);
  Noise noise(7);
  std::size_t cut = 0;
  std::size_t kept = 0;
  constexpr int k_drives = 1000;
  for (int drive = 0; drive < k_drives; ++drive) {
    const double level_c = band.centre_c + band.between_c * drawn_normal(noise);
    MadeTrip made;
    for (int look = 0; look < 30; ++look) {
      const auto reading_c = static_cast<float>(level_c + band.within_c * drawn_normal(noise));
      made.add(12, {reading_c});
    }
    Trip trip = made.take();
    trip.resolution_c = 0.1;
    JudgeOptions options;
    options.least_deviation_c = 0.0; // the band alone
    const Deviations deviations = deviations_from(trip, band, options);
    auto episodes = find_episodes(trip, band, deviations, options);
    cut += episodes.size();
    drop_chance(episodes, band, deviations);
    kept += episodes.size();
  }
  CHECK(cut > 200); // 1000 h: without it hundreds
  // At most 10 a side are meant in 1000 h, and Poisson's 99 % of 20 end at 31; together they may be
  // as many.
  CHECK(kept <= 62);
}
