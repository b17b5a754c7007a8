// SPDX-License-Identifier: Apache-2.0
#include "diagnose/chance.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/distributions.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace coolband {

namespace {

constexpr double k_once_in_s = 100.0 * 3600.0;
/// However long the log, what several episodes together show is not what one trip in a hundred
/// does.
constexpr double k_most_chance = 0.01;
/// Fewer independent looks than this in `k_once_in_s` would make any size unusual.
constexpr double k_most_share = 0.05;
constexpr double k_content = 0.95;

class Chance {
 public:
  Chance(const NormalBand& band, const Deviations& deviations)
      : band_(band), judged_s_(deviations.judged_s) {
    std::vector<double> off_k;
    for (std::size_t i = 0; i < deviations.size(); ++i) {
      if (!std::isnan(deviations.from_centre_c[i])) off_k.push_back(deviations.from_centre(i));
    }
    if (!off_k.empty()) level_k_ = median(std::move(off_k));
  }

  /// Sound drives have one so far off, for so long, at most once in 100 h.
  [[nodiscard]] bool is_rare(const Episode& episode) const {
    const double looks = looks_in(episode);
    const double share = std::min(k_most_share, looks * band_.correlation_s / k_once_in_s);
    const double strays_k =
        std::hypot(band_.between_c, band_.within_c / std::sqrt(looks)) * wider(episode);
    return std::abs(episode.mean_deviation_c) > -normal_quantile(share) * strays_k;
  }

  /// So many of them come in a trip as long as this by chance, on either side of this trip's own
  /// level.
  [[nodiscard]] double expected(const Episode& episode) const {
    const double looks = looks_in(episode);
    const double strays_k = band_.within_c / std::sqrt(looks) * wider(episode);
    const double off_k = std::abs(episode.mean_deviation_c - level_k_);
    return 2.0 * normal_cdf(-off_k / strays_k) * judged_s_ / (looks * band_.correlation_s);
  }

  /// The chance of `count` or more where so many are expected (Poisson's, as chi-squared).
  [[nodiscard]] bool are_rare(std::size_t count, double expected) const {
    const double chance = chi_squared_cdf(2.0 * expected, 2.0 * static_cast<double>(count));
    return chance <= std::min(k_most_chance, judged_s_ / k_once_in_s);
  }

 private:
  [[nodiscard]] double looks_in(const Episode& episode) const {
    return std::max(1.0, episode.logged_s / band_.correlation_s);
  }

  /// Than by a spread that is known exactly, and in conditions that the drives have seen.
  [[nodiscard]] double wider(const Episode& episode) const {
    const double known_k = normal_quantile(0.5 * (1.0 + k_content)) * band_.spread_c();
    return known_k > 0.0 ? std::max(1.0, episode.threshold_c / known_k) : 1.0;
  }

  const NormalBand& band_;
  double judged_s_;
  double level_k_ = 0.0; ///< of this trip, above the band's
};

} // namespace

std::size_t drop_chance(std::vector<Episode>& episodes, const NormalBand& band,
                        const Deviations& deviations) {
  // A reading that never moved while it was learned strays by nothing that could be chance.
  const bool strays = band.correlation_s > 0.0 && band.within_c > 0.0;
  if (band.origin != BandOrigin::learned || !strays || episodes.empty()) return 0;
  const Chance chance(band, deviations);
  const auto open = [](const Episode& e) { return e.explained_by == Explanation::none; };
  std::vector<double> expected;
  for (const Episode& episode : episodes) {
    if (open(episode)) expected.push_back(chance.expected(episode));
  }
  std::sort(expected.begin(), expected.end());
  double together = 0.0; // what is expected of the most common among those that are rare together
  for (std::size_t k = 2; k <= expected.size(); ++k) {
    if (chance.are_rare(k, expected[k - 1])) together = expected[k - 1];
  }
  return std::erase_if(episodes, [&](const Episode& e) {
    return open(e) && chance.expected(e) > together && !chance.is_rare(e);
  });
}

std::string chance_words(std::size_t dropped) {
  if (dropped == 1)
    return "one stretch outside the band is no more than normal running does by chance, and is not "
           "listed: whether it was more is not known";
  return fmt::format(
      "{} stretches outside the band are no more than normal running does by chance, "
      "and are not listed: whether they were more is not known",
      dropped);
}

} // namespace coolband
