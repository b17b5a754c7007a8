// SPDX-License-Identifier: Apache-2.0
// From summaries of drives to the band: which drives are sound, what conditions do, the level, then
// the spread.
#include "band/abnormal_drives.hpp"
#include "band/band_notes.hpp"
#include "band/drift.hpp"
#include "band/effects.hpp"
#include "band/fold.hpp"
#include "band/levels.hpp"
#include "band/normal_traits.hpp"
#include "band/spread.hpp"
#include "band/withhold.hpp"
#include "circuit/fit_circuit.hpp"
#include "coolband/band/normal_band.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Sound drives agree within the least opening span of a thermostat, 8 K.
constexpr double k_widest_agreement_c = 8.0;
/// And so many of them that lie side by side, none farther from the next than the tolerance of the
/// start of opening (3 K: TM 5-3825-229-14&P), within the widest span.
constexpr std::size_t k_least_group = 8;
constexpr double k_widest_gap_c = 3.0;
constexpr double k_widest_group_c = 15.0;
/// A band wider than this either way holds everything and tells nothing, K.
constexpr double k_widest_band_c = 25.0;
/// No thermostat holds an engine this cold (the lowest common class opens at 71 °C).
constexpr double k_coldest_band_c = 60.0;
/// A drift is told only where enough drives from before it are left to say what normal is.
constexpr double k_drives_before_drift = 5.0;
/// Steps to which the reference conditions are rounded, as a person would name them.
constexpr double k_load_step_pct = 5.0;
constexpr double k_ambient_step_c = 5.0;
constexpr double k_speed_step_kmh = 10.0;

/// Sorted, so that the order of arrival does not matter, and each drive once. How many stood there
/// under another name as well: a vehicle begins one drive at a time.
std::size_t put_in_order(std::vector<DriveSummary>& drives) {
  const auto key = [](const DriveSummary& d) {
    return std::tie(d.start, d.source, d.level_c, d.warm_s);
  };
  std::sort(drives.begin(), drives.end(),
            [&](const auto& a, const auto& b) { return key(a) < key(b); });
  const auto same = [&](const auto& a, const auto& b) { return key(a) == key(b); };
  drives.erase(std::unique(drives.begin(), drives.end(), same), drives.end());
  const auto copy = [](const auto& a, const auto& b) {
    return has_date(a.start) &&
           std::tie(a.start, a.level_c, a.warm_s) == std::tie(b.start, b.level_c, b.warm_s);
  };
  const auto end = std::unique(drives.begin(), drives.end(), copy);
  const auto copies = static_cast<std::size_t>(drives.end() - end);
  drives.erase(end, drives.end());
  return copies;
}

/// Whether a drive proves to be sound or not must not decide which of them keep theirs.
void keep_latest_circuits(std::vector<DriveSummary>& drives) {
  for (std::size_t i = 0; i + k_circuit_drives < drives.size(); ++i) drives[i].circuit = {};
}

void add_circuit(NormalBand& band) {
  std::vector<CircuitDrive> drives;
  for (const DriveSummary& drive : band.drives) {
    if (!drive.circuit.blocks.empty()) drives.push_back(drive.circuit);
  }
  band.circuit = fit_circuit(drives);
}

/// A mean over drives, rounded to a step that a person would name as the condition.
template <class OfDrive, class OfFolded>
std::optional<double> typical(const NormalBand& band, double step, OfDrive of_drive,
                              OfFolded of_folded) {
  double sum = 0.0;
  double drives = 0.0;
  const auto add = [&](const std::optional<double>& value, double count) {
    if (!value) return;
    sum += *value * count;
    drives += count;
  };
  for (const DriveSummary& drive : band.drives) add(of_drive(drive), 1.0);
  for (const FoldedDrives& sums : band.folded)
    add(of_folded(sums), static_cast<double>(sums.count));
  if (drives == 0.0) return std::nullopt;
  return std::round(sum / drives / step) * step;
}

std::optional<double> typical(const NormalBand& band, double step, Factor factor) {
  const auto mean = [&](const Moments& moments) {
    return has(moments, factor) ? std::optional(mean_of(moments, factor)) : std::nullopt;
  };
  return typical(
      band, step, [&](const DriveSummary& d) { return mean(d.moments); },
      [&](const FoldedDrives& f) { return mean(f.between); });
}

template <class Seen>
std::optional<Range> range_seen(const NormalBand& band, Seen seen) {
  std::optional<Range> all;
  for (const DriveSummary& drive : band.drives) widen(all, seen(drive));
  for (const FoldedDrives& sums : band.folded) widen(all, seen(sums));
  return all;
}

void add_conditions(NormalBand& band) {
  band.reference_load_pct = typical(band, k_load_step_pct, Factor::load_60s);
  band.reference_ambient_c = typical(
      band, k_ambient_step_c, [](const DriveSummary& d) { return d.ambient_mean_c; },
      [](const FoldedDrives& f) { return f.ambient_mean_c; });
}

void add_ranges(NormalBand& band) {
  band.load_seen_pct = range_seen(band, [](const auto& d) { return d.load_seen_pct; });
  band.ambient_seen_c = range_seen(band, [](const auto& d) { return d.ambient_seen_c; });
}

/// What conditions do within a drive, in the band's own fields.
void add_effects(NormalBand& band, const Effects& effects) {
  band.load_lag_s = effects.load_lag_s;
  band.load_c_per_pct = std::nullopt;
  if (effects.load) {
    band.load_c_per_pct = effects.load->slope;
    band.load_error_c_per_pct = effects.load->error;
  }
  for (const LearnedEffect& effect : effects.others) {
    Effect other{effect.slope, effect.error, 0.0, std::nullopt};
    switch (effect.regressor.factor) {
    case Factor::speed:
      other.reference = typical(band, k_speed_step_kmh, Factor::speed).value_or(0.0);
      other.seen = range_seen(band, [](const auto& d) { return d.speed_seen_kmh; });
      band.speed = other;
      break;
    case Factor::idle: band.idle = other; break; // from never to all the time: all was seen
    case Factor::climb:
      other.seen = range_seen(band, [](const auto& d) { return d.climb_seen_m_per_min; });
      band.climb = other;
      break;
    default: break;
    }
  }
}

/// Levels that differ by more than a thermostat's span are of two kinds of drive, or of one kind
/// whose weather and load were not logged: many that lie side by side without a gap are of one.
bool agree(const std::vector<LevelPoint>& points) {
  std::vector<double> levels_c;
  for (const LevelPoint& point : points) levels_c.push_back(point.level_c);
  std::sort(levels_c.begin(), levels_c.end());
  const double range_k = levels_c.back() - levels_c.front();
  if (range_k <= k_widest_agreement_c) return true;
  if (range_k > k_widest_group_c || levels_c.size() < k_least_group) return false;
  const auto apart = [](double low, double high) { return high - low > k_widest_gap_c; };
  return std::adjacent_find(levels_c.begin(), levels_c.end(), apart) == levels_c.end();
}

/// Centre and spread, from the drives before a drift where there is one.
void add_level(NormalBand& band, const Effects& effects, std::vector<LevelPoint> folded,
               std::vector<LevelPoint> points) {
  std::vector<LevelPoint> all = folded;
  all.insert(all.end(), points.begin(), points.end());
  if (const auto ambient = fit_ambient(all)) {
    band.ambient_c_per_c = ambient->slope;
    band.ambient_error_c_per_c = ambient->error;
  }
  remove_ambient(folded, band);
  remove_ambient(points, band);
  band.drift = find_drift(folded, points, band.drives);
  if (band.drift) {
    const std::size_t before = points.size() - band.drift->drives;
    if (static_cast<double>(before) + total_drives(folded) >= k_drives_before_drift)
      points.resize(before);
    else
      band.drift = std::nullopt;
  }
  all = folded;
  all.insert(all.end(), points.begin(), points.end());
  band.centre_c = mean_level(all);
  for (auto* levels : {&folded, &points}) {
    for (LevelPoint& point : *levels) point.level_c -= band.centre_c;
  }
  add_spread(band, effects, {std::move(folded), std::move(points)}, band.ambient_c_per_c ? 1 : 0);
}

/// The whole of learning, from `band.drives` and `band.folded`.
Result<NormalBand> learn(NormalBand band, const std::optional<VehicleProfile>& profile,
                         const LearnOptions& options, const Withheld& withheld = {}) {
  const std::size_t copies = put_in_order(band.drives);
  keep_latest_circuits(band.drives);
  if (band.drives.empty() && band.folded.empty()) return no_drive();
  band.content = options.content;
  band.confidence = options.confidence;
  const std::size_t all = band.drive_count();
  add_conditions(band);
  if (!options.keep_all) leave_out_abnormal(band);
  if (band.drive_count() > 0) add_conditions(band);
  if (2 * band.drive_count() <= all && all > 1) return contradiction(band);
  const Effects effects = learn_effects(band.drives, band.folded, withheld);
  add_effects(band, effects);
  auto points = level_points(band.drives, effects, band);
  auto folded = folded_points(band.folded, effects, band);
  add_level(band, effects, folded, points);
  remove_ambient(points, band);
  if (!options.keep_all && !points.empty() && !agree(points)) return contradiction(band);
  if (band.half_width_c > k_widest_band_c) return too_wide(band);
  if (band.centre_c < k_coldest_band_c) return too_cold(band);
  add_ranges(band);
  band.traits = learn_traits(band.drives);
  if (options.fit_circuit && !is_restless(band.traits)) add_circuit(band);
  if (profile) band.opens_c = profile->thermostat_opens_c;
  add_notes(band, profile);
  if (copies > 0)
    band.notes.push_back(fmt::format("{} drive{} given under two names count{} once", copies,
                                     copies == 1 ? "" : "s", copies == 1 ? "s" : ""));
  fold_old_drives(band);
  return band;
}

bool is_before(const std::string& start, const std::string& since) {
  return has_date(start) && start < since;
}

EarlierBand earlier_of(const NormalBand& band) {
  EarlierBand earlier;
  earlier.drives = band.drive_count();
  earlier.centre_c = band.centre_c;
  earlier.half_width_c = band.half_width_c;
  earlier.between_c = band.between_c;
  earlier.within_c = band.within_c;
  earlier.load_c_per_pct = band.load_c_per_pct;
  earlier.ambient_c_per_c = band.ambient_c_per_c;
  earlier.reference_load_pct = band.reference_load_pct;
  earlier.reference_ambient_c = band.reference_ambient_c;
  if (band.traits.opens_c) earlier.opens_c = band.traits.opens_c->value;
  return earlier;
}

/// Splits off what lies before the service, and learns from it what was normal then.
void split_off_earlier(NormalBand& band, const std::optional<VehicleProfile>& profile,
                       const LearnOptions& options) {
  NormalBand before;
  before.vehicle = band.vehicle;
  std::vector<DriveSummary> after;
  for (DriveSummary& drive : band.drives)
    (is_before(drive.start, band.since) ? before.drives : after).push_back(std::move(drive));
  band.drives = std::move(after);
  before.folded = std::move(band.folded);
  band.folded.clear();
  LearnOptions before_options = options;
  before_options.since.clear();
  before_options.fit_circuit = false;
  const auto learned = learn(std::move(before), profile, before_options);
  if (learned) band.earlier = earlier_of(*learned);
}

/// What is learned from, and what is not learned again.
struct Intake {
  NormalBand band;
  std::vector<LeftOut> too_old;
  std::size_t known = 0; ///< drives that may be in the folded ones
};

Intake take_in(const NormalBand& band, std::vector<DriveSummary> drives) {
  Intake intake;
  NormalBand& next = intake.band;
  next.vehicle = band.vehicle;
  next.since = band.since;
  next.earlier = band.earlier;
  next.extra_json = band.extra_json;
  next.left_out_before = band.left_out_before;
  next.drives = band.drives;
  next.folded = band.folded;
  for (const LeftOut& left : band.left_out) {
    // Drives of its time are folded: it cannot be judged among them any more.
    if (may_be_folded(band, left.drive))
      intake.too_old.push_back(left);
    else
      next.drives.push_back(left.drive);
  }
  for (DriveSummary& drive : drives) {
    if (may_be_folded(band, drive))
      ++intake.known;
    else
      next.drives.push_back(std::move(drive));
  }
  return intake;
}

/// Drives of before the service that the band has begun with already.
void leave_out_older(Intake& intake) {
  NormalBand& next = intake.band;
  const auto old =
      std::stable_partition(next.drives.begin(), next.drives.end(), [&](const DriveSummary& drive) {
        return !is_before(drive.start, next.since);
      });
  for (auto drive = old; drive != next.drives.end(); ++drive)
    intake.too_old.push_back({*drive, "was before the service of " + next.since});
  next.drives.erase(old, next.drives.end());
}

void note_intake(NormalBand& band, std::size_t known, std::ptrdiff_t undated) {
  if (!band.since.empty() && undated > 0)
    band.notes.push_back(fmt::format("{} drive{} no date: taken to be from after {}", undated,
                                     undated == 1 ? " has" : "s have", band.since));
  if (known > 0)
    band.notes.push_back(
        fmt::format("{} drive{} older than those that the band keeps one by one, and may be in it "
                    "already: not learned again",
                    known, known == 1 ? " is" : "s are"));
}

} // namespace

Result<NormalBand> learn_band(std::vector<DriveSummary> drives, const std::string& vehicle,
                              const std::optional<VehicleProfile>& profile,
                              const LearnOptions& options) {
  NormalBand empty;
  empty.vehicle = vehicle;
  return update_band(empty, std::move(drives), profile, options);
}

Result<NormalBand> update_band(const NormalBand& band, std::vector<DriveSummary> drives,
                               const std::optional<VehicleProfile>& profile,
                               const LearnOptions& options) {
  Intake intake = take_in(band, std::move(drives));
  NormalBand& next = intake.band;
  if (!options.since.empty() && options.since != band.since) {
    next.since = options.since;
    split_off_earlier(next, profile, options);
  } else if (!next.since.empty()) {
    leave_out_older(intake);
  }
  if (next.drives.empty() && next.folded.empty() && !next.since.empty())
    return no_drive_since(next.since);
  const auto undated = std::count_if(next.drives.begin(), next.drives.end(),
                                     [](const auto& drive) { return !has_date(drive.start); });
  auto learned = learn(std::move(next), profile, options);
  if (!learned) return learned;
  learned->left_out.insert(learned->left_out.end(), intake.too_old.begin(), intake.too_old.end());
  fold_old_drives(*learned); // once more, so that the list stays short
  note_intake(*learned, intake.known, undated);
  return learned;
}

std::optional<NormalBand> without(const NormalBand& band, const Withheld& withheld) {
  NormalBand bare;
  bare.drives = band.drives;
  bare.folded = band.folded;
  if (withheld.ambient) {
    for (DriveSummary& drive : bare.drives) drive.ambient_mean_c = std::nullopt;
    for (FoldedDrives& sums : bare.folded) sums.ambient_mean_c = std::nullopt;
  }
  LearnOptions options;
  options.keep_all = true; // these were found sound
  options.content = band.content;
  options.confidence = band.confidence;
  options.fit_circuit = false;
  auto learned = learn(std::move(bare), std::nullopt, options, withheld);
  if (!learned) return std::nullopt;
  NormalBand wider = band;
  wider.centre_c = learned->centre_c;
  wider.centre_error_c = learned->centre_error_c;
  wider.load_c_per_pct = learned->load_c_per_pct;
  wider.load_error_c_per_pct = learned->load_error_c_per_pct;
  wider.load_lag_s = learned->load_lag_s;
  wider.ambient_c_per_c = learned->ambient_c_per_c;
  wider.ambient_error_c_per_c = learned->ambient_error_c_per_c;
  wider.speed = learned->speed;
  wider.idle = learned->idle;
  wider.climb = learned->climb;
  wider.between_c = learned->between_c;
  wider.within_c = learned->within_c;
  wider.half_width_c = learned->half_width_c;
  wider.widening = std::move(learned->widening);
  wider.freedom = learned->freedom;
  return wider;
}

} // namespace coolband
