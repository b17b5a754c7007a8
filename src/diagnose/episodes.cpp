// SPDX-License-Identifier: Apache-2.0
// Stretches in which a trip left its band: threshold, hysteresis and a least length.
#include "diagnose/episodes.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// Sensor events closer than this are one episode, s.
constexpr double k_cluster_s = 120.0;

/// A run of blocks [first, last] on one side of the band.
struct Run {
  std::size_t first = 0;
  std::size_t last = 0;
  int side = 0; ///< -1 below, +1 above
};

int side_of(double deviation) { return deviation < 0.0 ? -1 : 1; }

/// Cuts the judged blocks into runs by the two thresholds. Unjudged blocks neither end nor extend
/// a run; a change of side does.
std::vector<Run> find_runs(const Deviations& deviations, double leave_share) {
  std::vector<Run> runs;
  bool open = false;
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    const double deviation = deviations.from_centre(i);
    if (std::isnan(deviation)) continue;
    const double size = std::abs(deviation) / deviations.limit(i);
    if (open && (size < leave_share || side_of(deviation) != runs.back().side)) open = false;
    if (open) runs.back().last = i;
    if (!open && size > 1.0) {
      runs.push_back({i, i, side_of(deviation)});
      open = true;
    }
  }
  return runs;
}

double run_length_s(const Run& run, const Deviations& deviations) {
  double length = 0.0;
  for (std::size_t i = run.first; i <= run.last; ++i) length += deviations.duration(i);
  return length;
}

/// Joins runs on the same side that are parted by less than `gap_s`.
std::vector<Run> join(const std::vector<Run>& runs, const Blocks& blocks, double gap_s) {
  std::vector<Run> joined;
  for (const Run& run : runs) {
    const bool near = !joined.empty() && joined.back().side == run.side &&
                      blocks.start_s[run.first] - blocks.end_s[joined.back().last] < gap_s;
    if (near)
      joined.back().last = run.last;
    else
      joined.push_back(run);
  }
  return joined;
}

/// Mean of a block column over a run, where known.
std::optional<double> mean_over(const std::vector<float>& column, const Run& run) {
  double sum = 0.0;
  std::size_t count = 0;
  for (std::size_t i = run.first; i <= run.last; ++i) {
    if (const auto value = known(column[i])) {
      sum += *value;
      ++count;
    }
  }
  if (count == 0) return std::nullopt;
  return sum / static_cast<double>(count);
}

struct Size {
  double mean_c = 0.0;
  double worst_c = 0.0;
  double mean_limit_c = 0.0;
  std::size_t worst_block = 0;
};

Size measure(const Run& run, const Deviations& deviations) {
  Size size;
  double weight = 0.0;
  for (std::size_t i = run.first; i <= run.last; ++i) {
    const double deviation = deviations.from_centre(i);
    if (std::isnan(deviation)) continue;
    size.mean_c += deviation * deviations.duration(i);
    size.mean_limit_c += deviations.limit(i) * deviations.duration(i);
    weight += deviations.duration(i);
    if (std::abs(deviation) > std::abs(size.worst_c)) {
      size.worst_c = deviation;
      size.worst_block = i;
    }
  }
  size.mean_c /= weight;
  size.mean_limit_c /= weight;
  return size;
}

Episode describe_run(const Run& run, const Trip& trip, const Size& size) {
  const Blocks& blocks = trip.blocks;
  Episode episode;
  episode.start_s = blocks.start_s[run.first];
  episode.end_s = blocks.end_s[run.last];
  episode.first_row = blocks.first_row[run.first];
  episode.last_row = blocks.last_row[run.last];
  episode.direction = run.side < 0 ? Direction::below : Direction::above;
  episode.extreme_c = static_cast<double>(blocks.coolant[size.worst_block]);
  episode.worst_deviation_c = size.worst_c;
  episode.mean_deviation_c = size.mean_c;
  episode.threshold_c = size.mean_limit_c;
  episode.load_pct = mean_over(blocks.load_lagged, run);
  episode.ambient_c = mean_over(blocks.ambient, run);
  episode.speed_kmh = mean_over(blocks.speed, run);
  episode.observed_c = mean_over(blocks.coolant, run);
  if (episode.observed_c) episode.expected_c = *episode.observed_c - size.mean_c;
  return episode;
}

} // namespace

double least_episode_s(const NormalBand& band, const JudgeOptions& options) {
  return std::clamp(band.correlation_s, options.shortest_s, options.longest_s);
}

std::vector<Episode> find_episodes(const Trip& trip, const NormalBand& band,
                                   const Deviations& deviations, const JudgeOptions& options) {
  const double least_s = least_episode_s(band, options);
  std::vector<Episode> episodes;
  for (const Run& run :
       join(find_runs(deviations, options.leave_share), trip.blocks, least_s / 2.0)) {
    const Size size = measure(run, deviations);
    // Length times size: the farther out, the less time it takes to believe it.
    const double weighted_s =
        run_length_s(run, deviations) * std::abs(size.mean_c) / size.mean_limit_c;
    if (weighted_s < least_s) continue;
    episodes.push_back(describe_run(run, trip, size));
    episodes.back().logged_s = run_length_s(run, deviations);
  }
  return episodes;
}

bool anything_unexplained(const std::vector<Episode>& episodes) {
  return std::any_of(episodes.begin(), episodes.end(),
                     [](const Episode& e) { return e.explained_by == Explanation::none; });
}

bool anything_unexplained(const std::vector<Episode>& episodes, Direction direction) {
  return std::any_of(episodes.begin(), episodes.end(), [&](const Episode& e) {
    return e.direction == direction && e.explained_by == Explanation::none;
  });
}

std::vector<Episode> erratic_episodes(const Recording& recording, const Trip& trip,
                                      const NormalBand& band) {
  // One wrong row in a whole trip is a logger's slip, not a sensor's habit.
  const bool lone = trip.sensor_events.size() == 1 &&
                    trip.sensor_events[0].first_row == trip.sensor_events[0].last_row;
  if (lone) return {};
  std::vector<Episode> episodes;
  for (const SensorEvent& event : trip.sensor_events) {
    const double start_s = recording.time_s[event.first_row] - trip.start_s;
    const double deviation = event.to_c - band.centre_c;
    if (episodes.empty() || start_s - episodes.back().end_s > k_cluster_s) {
      Episode episode;
      episode.start_s = start_s;
      episode.first_row = event.first_row;
      episode.direction = Direction::erratic;
      episodes.push_back(episode);
    }
    Episode& episode = episodes.back();
    episode.end_s = recording.time_s[event.last_row] - trip.start_s;
    episode.last_row = event.last_row;
    if (std::abs(deviation) >= std::abs(episode.worst_deviation_c)) {
      episode.worst_deviation_c = deviation;
      episode.mean_deviation_c = deviation;
      episode.extreme_c = event.to_c;
    }
  }
  return episodes;
}

} // namespace coolband
