// SPDX-License-Identifier: Apache-2.0
// A recording cut into trips, each trip into short blocks, each block told what the engine was
// doing: off, warming up, settling after a restart, cooling down, or running warm.
#pragma once

#include "coolband/condition/condition.hpp"
#include "coolband/import/recording.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

enum class Phase : std::uint8_t {
  off,       ///< engine speed says that the engine stands
  warm_up,   ///< from a cold start until the thermostat takes over
  restart,   ///< settling after a stop with the engine still hot
  cool_down, ///< below the level while the engine gives too little heat to hold it
  warm,      ///< regulated, or should be: the only blocks that a band is learned from or judged by
};

/// Means over about `SegmentOptions::block_s`, one entry a block in every column. NaN where a block
/// has no believable value. A gap in the log ends a block; time is never filled in.
struct Blocks {
  std::vector<double> start_s;    ///< s from the trip's first row
  std::vector<double> end_s;      ///< s; the block's last row
  std::vector<float> coolant;     ///< °C
  std::vector<float> ambient;     ///< °C
  std::vector<float> load;        ///< %
  std::vector<float> load_lagged; ///< %, through a first-order lag of `load_lag_s`
  std::vector<float> speed;       ///< km/h
  std::vector<float> rpm;
  std::vector<float> altitude;        ///< m
  std::vector<std::size_t> first_row; ///< index into the recording
  std::vector<std::size_t> last_row;
  std::vector<Phase> phase;

  [[nodiscard]] std::size_t size() const { return start_s.size(); }
};

struct WarmUp {
  double start_s = 0.0; ///< s from the trip's first row
  double from_c = 0.0;
  std::optional<double> reached_s; ///< s from `start_s` until regulation; none if never
  /// K/min between the start and the arrival, the stretch next to either left out; none when the
  /// warm-up is too short or broken by stops.
  std::optional<double> rate_k_per_min;
  std::optional<double> opened_c; ///< °C where the first opening of the thermostat bends the rise
  std::optional<double> load_mean_pct; ///< over the warm-up
  std::optional<double> ambient_c;     ///< median over the warm-up
};

/// How a trip runs once it is warm, besides its level. Each is none where the trip does not show
/// it.
struct Regulation {
  std::optional<double> amplitude_k;    ///< half of the swing of a regular rise and fall
  std::optional<double> period_s;       ///< of that rise and fall
  std::optional<double> hottest_idle_c; ///< 95th percentile while standing with the engine running
  std::optional<double> best_cooling_k_per_min; ///< fastest fall that lasted for a minute or more
  /// Warm dips that are faster than coolant can be, and back within two minutes.
  std::optional<double> dips_per_h;
  /// K: how far ten seconds' mean lies off the middle of its neighbours (root mean square), less
  /// what rounding does. Half the change of the slope times 10 s.
  std::optional<double> roughness_k;
};

/// Values of one column that were not believed, by what is odd about them.
struct OddValues {
  Role role = Role::coolant;
  Oddity oddity = Oddity::none;
  std::size_t rows = 0;
  std::size_t first_row = 0; ///< index into the recording
  double value = 0.0;        ///< in that row, in coolband's own unit
};

/// How often a column brings a new value. Rows can come faster than the values in them: a logger
/// repeats the last answer, or leaves the cell empty, until it has polled the sensor again.
struct Refresh {
  Role role = Role::coolant;
  double period_s = 0.0;
  bool at_most = false; ///< an upper bound only: the reading moves too little to tell
};

/// The coolant reading at a start against the air. After a night they should agree within 5 to
/// 10 K; a block heater, sun, wind or a shorter rest part sound sensors (common practice, no
/// source).
struct ColdSoak {
  enum class Outcome : std::uint8_t {
    agrees,
    disagrees,
    unclear, ///< warmer than the air, and nothing tells how long the engine had rested
  };
  Outcome outcome = Outcome::unclear;
  double coolant_c = 0.0;
  std::optional<double> ambient_c;
  std::optional<double> intake_c;
  std::optional<double> rest_s; ///< at most; known only when the log's clock runs over the rest
};

/// A reading that stood still where a running engine must move it.
struct FrozenReading {
  std::size_t first_row = 0; ///< index into the recording
  std::size_t last_row = 0;
  double length_s = 0.0;
  double reading_c = 0.0;
};

/// Stretches in which the coolant reading is missing while another column goes on.
struct MissingReading {
  std::size_t times = 0;
  std::size_t first_row = 0; ///< of the first, index into the recording
  double longest_s = 0.0;
};

/// What there is to say of the sensors in one trip. Flags for a person: only what
/// `Conditioned::coolant` marks is kept from being judged.
struct Sanity {
  std::vector<OddValues> odd;   ///< coolant first, then in the order of Role
  std::vector<Refresh> refresh; ///< in the order of Role; columns of which nothing is known lack
  std::optional<ColdSoak> cold_soak;   ///< none when the trip does not begin with a cold engine
  std::optional<FrozenReading> frozen; ///< the longest
  std::optional<MissingReading> missing;
};

struct Trip {
  std::size_t first_row = 0; ///< index into the recording
  std::size_t last_row = 0;
  double start_s = 0.0; ///< on the recording's clock
  double duration_s = 0.0;
  /// How long the engine can have rested before, where the log's clock runs over the rest: a drive
  /// that was not logged would have shortened it.
  std::optional<double> rest_s;
  std::size_t usable_rows = 0;
  double sample_period_s = 0.0; ///< median step between rows
  double resolution_c = 0.0;    ///< step of the coolant reading: 1, 5/9, 0.5, 0.1; 0: any other
  double longest_gap_s = 0.0;
  std::optional<double> distance_km; ///< from road speed
  std::optional<double> level_c;     ///< the level the trip settles at, if it settles
  std::string trip_id;               ///< from a trip column
  std::string vehicle_id;            ///< from a vehicle column
  Blocks blocks;
  std::vector<WarmUp> warm_ups;
  Regulation regulation;
  std::vector<SensorEvent> sensor_events;
  Sanity sanity;
};

struct SegmentOptions {
  double block_s = 10.0; ///< > 0
  /// A longer hole in the clock, a step back of it or another trip or vehicle starts a new trip; so
  /// does a restart after the engine stood for as long (engine speed known and below 100, not over
  /// 5 km/h) while rows went on. The rows of the stop belong to the trip before it.
  double trip_gap_s = 1800.0;
  double stop_s = 120.0;    ///< a shorter stop or hole is not a restart
  double load_lag_s = 60.0; ///< time constant between load and coolant
  /// Level at which this vehicle regulates, °C, when it is known. Without it each trip's own
  /// plateau serves, and a trip that never rises to normal cannot be told from one that has a low
  /// normal.
  std::optional<double> regulating_c;
};

/// Rows before the first believable coolant reading, and rows before the engine first runs, belong
/// to the first trip.
std::vector<Trip> find_trips(const Recording& recording, const Conditioned& conditioned,
                             const SegmentOptions& options = {});

} // namespace coolband
