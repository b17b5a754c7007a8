// SPDX-License-Identifier: Apache-2.0
// Episodes in a picture.
#include "report/episode_marks.hpp"

#include "report/confidence_words.hpp"
#include "report/explanation.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr double k_apart_px = 2.0 * k_mark_radius + 3.0;

bool more_telling(const EpisodeMark& a, const EpisodeMark& b) {
  const bool a_open = a.episode->explained_by == Explanation::none;
  const bool b_open = b.episode->explained_by == Explanation::none;
  if (a_open != b_open) return a_open;
  return std::abs(a.episode->worst_deviation_c) > std::abs(b.episode->worst_deviation_c);
}

/// To the right as far as needed, then back from the right edge.
void move_apart(std::vector<EpisodeMark>& marks, double left, double right) {
  double least = left + k_mark_radius;
  for (EpisodeMark& mark : marks) {
    mark.mark_px = std::max(mark.middle_px, least);
    least = mark.mark_px + k_apart_px;
  }
  double most = right - k_mark_radius;
  for (auto mark = marks.rbegin(); mark != marks.rend(); ++mark) {
    mark->mark_px = std::min(mark->mark_px, most);
    most = mark->mark_px - k_apart_px;
  }
}

} // namespace

std::vector<EpisodeMark> episode_marks(const std::vector<Episode>& episodes, const Scale& x) {
  std::vector<EpisodeMark> marks;
  for (const Episode& episode : episodes) {
    const double middle = x.within((episode.start_s + episode.end_s) / 2.0);
    marks.push_back({&episode, marks.size() + 1, middle, middle});
  }
  if (marks.size() > k_most_marks) {
    std::stable_sort(marks.begin(), marks.end(), more_telling);
    marks.resize(k_most_marks);
  }
  std::sort(marks.begin(), marks.end(), [](const EpisodeMark& a, const EpisodeMark& b) {
    return a.middle_px < b.middle_px || (a.middle_px == b.middle_px && a.number < b.number);
  });
  move_apart(marks, x.from_px, x.to_px);
  return marks;
}

std::string episode_words(const Episode& episode) {
  return fmt::format("{}, {} to {}, {:+.1f} K: {}", name_of(episode.direction),
                     minute_words(episode.start_s), minute_words(episode.end_s),
                     episode.worst_deviation_c, plain_account(episode));
}

} // namespace coolband
