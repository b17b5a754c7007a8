// SPDX-License-Identifier: Apache-2.0
// Puts what the log lacks in from what it has: engine speed from road speed, load from the road.
#include "circuit/circuit_drive.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// A hole this long leaves nothing to go on from.
constexpr double k_longest_hole_s = 60.0;
/// After a start with a warm engine nobody knows how warm radiator and thermostat still are.
constexpr double k_settling_s = 180.0;
/// So much warmer than the air is no cold engine.
constexpr double k_cold_start_k = 15.0;

double value_at(const std::vector<float>& column, std::size_t i) {
  return i < column.size() ? static_cast<double>(column[i]) : std::nan("");
}

bool mostly_known(const std::vector<float>& column, std::size_t count) {
  const std::size_t size = std::min(count, column.size());
  const auto known =
      std::count_if(column.begin(), column.begin() + static_cast<std::ptrdiff_t>(size),
                    [](float value) { return !std::isnan(value); });
  return size > 0 && 2 * static_cast<std::size_t>(known) > size;
}

std::size_t blocks_within(const Blocks& blocks, double at_most_s) {
  std::size_t count = 0;
  while (count < blocks.size() && blocks.end_s[count] - blocks.start_s[0] <= at_most_s) ++count;
  return count;
}

/// Engine speed of a usual gearing, 22 rpm per km/h in top gear and 800 rpm at idle (common
/// practice, no source).
double usual_turning(double speed_mps) {
  return std::isnan(speed_mps) ? 0.8 : std::max(0.4, 0.3 + 0.04 * speed_mps);
}

/// Load of a usual vehicle (2 t, 90 kW at 3600 rpm; common practice, no source) at this motion. Its
/// scale does not matter, as the heat per load is fitted.
double usual_load(double speed_mps, double pull_mps2, double climb_mps, double turning) {
  constexpr double k_gravity = 9.81;
  const double resistance_kn =
      2.0 * (k_gravity * 0.015 + std::max(pull_mps2, -1.0)) + 0.00055 * speed_mps * speed_mps;
  const double power_kw = resistance_kn * speed_mps + 2.0 * k_gravity * climb_mps;
  return std::clamp(0.15 + power_kw / (50.0 * std::max(turning, 0.4)), 0.0, 1.0);
}

class Reader {
 public:
  Reader(const Blocks& blocks, std::size_t count) : blocks_(blocks) {
    drive_.saw_load = mostly_known(blocks.load, count);
    drive_.saw_turning = mostly_known(blocks.rpm, count);
    drive_.saw_speed = mostly_known(blocks.speed, count);
    drive_.saw_ambient = mostly_known(blocks.ambient, count);
    for (std::size_t i = 0; i < count; ++i) add(i);
  }

  CircuitDrive drive_;

 private:
  void add(std::size_t i) {
    const double before_s = i == 0 ? blocks_.start_s[i] : blocks_.end_s[i - 1];
    const bool hole = i > 0 && blocks_.start_s[i] - before_s > k_longest_hole_s;
    const double length_s =
        hole || i == 0 ? blocks_.end_s[i] - blocks_.start_s[i] : blocks_.end_s[i] - before_s;
    drive_.length_s.push_back(std::max(length_s, 0.1));
    drive_.coolant_c.push_back(value_at(blocks_.coolant, i));
    add_ambient(i);
    add_motion(i);
    add_score(i, hole);
  }

  void add_ambient(std::size_t i) {
    const double ambient = value_at(blocks_.ambient, i);
    if (!std::isnan(ambient)) ambient_c_ = ambient;
    drive_.ambient_c.push_back(ambient_c_);
  }

  void add_motion(std::size_t i) {
    const double kmh = value_at(blocks_.speed, i);
    const double rpm = value_at(blocks_.rpm, i);
    const double load = value_at(blocks_.load, i);
    const double mps = std::isnan(kmh) ? 0.0 : std::max(kmh, 0.0) / 3.6;
    const bool stands = blocks_.phase[i] == Phase::off || (!std::isnan(rpm) && rpm < 100.0);
    const double turning =
        std::isnan(rpm) ? usual_turning(drive_.saw_speed ? mps : std::nan("")) : rpm / 2000.0;
    drive_.turning.push_back(stands ? 0.0 : turning);
    drive_.load.push_back(!std::isnan(load) ? std::clamp(load / 100.0, 0.0, 1.25)
                                            : usual_load(mps, pull(i, mps), climb(i), turning));
    const double wind = mps / 25.0;
    drive_.wind.push_back(wind);
    drive_.air.push_back(std::pow(wind, 0.75));
    before_mps_ = mps;
  }

  [[nodiscard]] double pull(std::size_t i, double mps) const {
    return i == 0 ? 0.0 : (mps - before_mps_) / drive_.length_s[i];
  }

  [[nodiscard]] double climb(std::size_t i) const {
    if (i == 0) return 0.0;
    const double gained = value_at(blocks_.altitude, i) - value_at(blocks_.altitude, i - 1);
    return std::isnan(gained) ? 0.0 : std::clamp(gained / drive_.length_s[i], -3.0, 3.0);
  }

  void add_score(std::size_t i, bool hole) {
    const bool restarts = i > 0 && drive_.turning[i] > 0.0 && drive_.turning[i - 1] == 0.0;
    const bool begins = i == 0 || hole || restarts;
    drive_.begins.push_back(begins ? 1 : 0);
    const double coolant_c = drive_.coolant_c[i];
    if (begins) {
      const bool cold = drive_.saw_ambient && coolant_c - drive_.ambient_c[i] < k_cold_start_k;
      settled_s_ = blocks_.start_s[i] + (cold ? 0.0 : k_settling_s);
    }
    const bool counts = !begins && !std::isnan(coolant_c) && drive_.turning[i] > 0.0 &&
                        blocks_.start_s[i] >= settled_s_;
    drive_.scored.push_back(counts ? 1 : 0);
  }

  const Blocks& blocks_;
  double ambient_c_ = k_usual_ambient_c;
  double before_mps_ = 0.0;
  double settled_s_ = 0.0;
};

} // namespace

CircuitDrive circuit_drive(const Blocks& blocks, double at_most_s) {
  return Reader(blocks, blocks_within(blocks, at_most_s)).drive_;
}

} // namespace coolband
