// SPDX-License-Identifier: Apache-2.0
// Numbers of episodes in a picture: none touches another, however many there are and where.
#include "report/episode_marks.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;

namespace {

Episode episode(double start_s, double end_s, double worst_k = -5.0) {
  Episode e;
  e.start_s = start_s;
  e.end_s = end_s;
  e.worst_deviation_c = worst_k;
  e.cause = Condition::thermostat_stuck_open;
  return e;
}

void check_apart(const std::vector<EpisodeMark>& marks, const Scale& x) {
  for (std::size_t i = 0; i < marks.size(); ++i) {
    CHECK(marks[i].mark_px - k_mark_radius >= x.from_px - 1e-9);
    CHECK(marks[i].mark_px + k_mark_radius <= x.to_px + 1e-9);
    if (i > 0) CHECK(marks[i].mark_px - marks[i - 1].mark_px > 2.0 * k_mark_radius);
  }
}

} // namespace

TEST_CASE("marks stand apart and within the axis for any number of episodes") {
  const Scale x{0.0, 3600.0, 58.0, 940.0};
  for (std::size_t count = 0; count <= 60; ++count) {
    // Even, all at the beginning, all at the end.
    for (const double crowd : {1.0, 0.02, -0.02}) {
      std::vector<Episode> episodes;
      for (std::size_t i = 0; i < count; ++i) {
        const double share = static_cast<double>(i) / 60.0;
        const double at = crowd > 0.0 ? share * crowd : 1.0 + (1.0 - share) * crowd;
        episodes.push_back(episode(3600.0 * at, 3600.0 * at + 5.0));
      }
      std::sort(episodes.begin(), episodes.end(),
                [](const Episode& a, const Episode& b) { return a.start_s < b.start_s; });
      const auto marks = episode_marks(episodes, x);
      CHECK(marks.size() == std::min(count, k_most_marks));
      check_apart(marks, x);
    }
  }
}

TEST_CASE("a lonely mark stands over its episode") {
  const std::vector<Episode> episodes{episode(1000.0, 1400.0)};
  const auto marks = episode_marks(episodes, {0.0, 3600.0, 0.0, 3600.0});
  REQUIRE(marks.size() == 1);
  CHECK(marks[0].mark_px == 1200.0);
  CHECK(marks[0].number == 1);
}

TEST_CASE("of too many, the unexplained and the largest keep a number, that of the table") {
  std::vector<Episode> episodes;
  for (int i = 0; i < 30; ++i) episodes.push_back(episode(100.0 * i, 100.0 * i + 50.0, -5.0 - i));
  for (int i = 15; i < 30; ++i)
    episodes[static_cast<std::size_t>(i)].explained_by = Explanation::heavy_load;
  const auto marks = episode_marks(episodes, {0.0, 3600.0, 0.0, 900.0});
  REQUIRE(marks.size() == k_most_marks);
  for (std::size_t i = 0; i < 15; ++i) CHECK(marks[i].number == i + 1);
  for (std::size_t i = 15; i < 20; ++i) CHECK(marks[i].number == i + 11); // the last five
}

TEST_CASE("an episode in words") {
  Episode e = episode(750.0, 920.0, -9.84);
  CHECK(episode_words(e) == "below, 12:30 to 15:20, -9.8 K: thermostat stuck open");
  e.explained_by = Explanation::cold_weather;
  CHECK(episode_words(e) == "below, 12:30 to 15:20, -9.8 K: cold weather");
}
