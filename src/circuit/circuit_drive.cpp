// SPDX-License-Identifier: Apache-2.0
// Puts what the log lacks in from what it has: engine speed from road speed, load from the road.
#include "circuit/circuit_drive.hpp"

#include "core/portable_math.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

/// A hole this long leaves nothing to go on from.
constexpr double k_longest_hole_s = 60.0;
/// After a start with a warm engine nobody knows how warm radiator and thermostat still are.
constexpr double k_settling_s = 180.0;
/// So much warmer than the air is no cold engine.
constexpr double k_cold_start_k = 15.0;
/// Where the log tells nothing of the weather, °C: the temperature of the standard atmosphere.
constexpr double k_usual_ambient_c = 15.0;
/// A warmer engine at the start of the log is no cold one.
constexpr double k_hottest_weather_c = 35.0;

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

template <class Integer>
Integer steps(double value, double step) {
  using Limits = std::numeric_limits<Integer>;
  return static_cast<Integer>(std::clamp(std::round(value / step),
                                         static_cast<double>(Limits::min() + (Limits::min() < 0)),
                                         static_cast<double>(Limits::max())));
}

/// From the radiator's surface air flow to the power of 0.6 to 0.8 (domain practice), less what the
/// little air of slow driving can take up: effectiveness by NTU makes about this of it between 5
/// and 100 km/h (docs/methods.md).
constexpr double k_air_exponent = 0.87;

class Reader {
 public:
  Reader(const Blocks& blocks, std::size_t count) : blocks_(blocks) {
    drive.saw_load = mostly_known(blocks.load, count);
    drive.saw_turning = mostly_known(blocks.rpm, count);
    drive.saw_speed = mostly_known(blocks.speed, count);
    drive.saw_ambient = mostly_known(blocks.ambient, count);
    ambient_c_ = first_weather(count);
    for (std::size_t i = 0; i < count; ++i) add(i);
  }

  CircuitDrive drive;

 private:
  /// Of the weather column, or of a cold engine, which is as warm as the air about it.
  [[nodiscard]] double first_weather(std::size_t count) const {
    for (const auto* column : {&blocks_.ambient, &blocks_.coolant}) {
      for (std::size_t i = 0; i < std::min(count, column->size()); ++i) {
        const double value_c = value_at(*column, i);
        if (std::isnan(value_c)) continue;
        if (column == &blocks_.ambient || value_c < k_hottest_weather_c) return value_c;
        break;
      }
    }
    return k_usual_ambient_c;
  }

  void add(std::size_t i) {
    const double before_s = i == 0 ? blocks_.start_s[i] : blocks_.end_s[i - 1];
    const bool hole = i > 0 && blocks_.start_s[i] - before_s > k_longest_hole_s;
    length_s_ = std::max(blocks_.end_s[i] - (hole ? blocks_.start_s[i] : before_s), 0.1);
    CircuitBlock block;
    block.length_ds = steps<std::uint16_t>(length_s_, 0.1);
    const double coolant_c = value_at(blocks_.coolant, i);
    block.coolant_cc =
        std::isnan(coolant_c) ? CircuitBlock::k_no_reading : steps<std::int16_t>(coolant_c, 0.01);
    const double ambient_c = value_at(blocks_.ambient, i);
    if (!std::isnan(ambient_c)) ambient_c_ = ambient_c;
    block.ambient_dc = steps<std::int16_t>(ambient_c_, 0.1);
    add_motion(block, i);
    add_score(block, i, hole);
    drive.blocks.push_back(block);
  }

  void add_motion(CircuitBlock& block, std::size_t i) {
    const double kmh = value_at(blocks_.speed, i);
    const double rpm = value_at(blocks_.rpm, i);
    const double load = value_at(blocks_.load, i);
    const double mps = std::isnan(kmh) ? 0.0 : std::max(kmh, 0.0) / 3.6;
    const bool stands = blocks_.phase[i] == Phase::off || (!std::isnan(rpm) && rpm < 100.0);
    const double turning =
        std::isnan(rpm) ? usual_turning(drive.saw_speed ? mps : std::nan("")) : rpm / 2000.0;
    block.turning = stands ? 0 : std::max<std::uint8_t>(1, steps<std::uint8_t>(turning, 1.0 / 64));
    block.load = steps<std::uint8_t>(
        !std::isnan(load) ? load : 100.0 * usual_load(mps, pull(i, mps), climb(i), turning), 0.5);
    block.speed_kmh = steps<std::uint8_t>(mps * 3.6, 1.0);
    before_mps_ = mps;
  }

  [[nodiscard]] double pull(std::size_t i, double mps) const {
    return i == 0 ? 0.0 : (mps - before_mps_) / length_s_;
  }

  [[nodiscard]] double climb(std::size_t i) const {
    if (i == 0) return 0.0;
    const double gained = value_at(blocks_.altitude, i) - value_at(blocks_.altitude, i - 1);
    return std::isnan(gained) ? 0.0 : std::clamp(gained / length_s_, -3.0, 3.0);
  }

  void add_score(CircuitBlock& block, std::size_t i, bool hole) {
    const bool restarts = i > 0 && block.turning > 0 && drive.blocks.back().turning == 0;
    block.begins = i == 0 || hole || restarts;
    if (block.begins) {
      const bool cold = value_at(blocks_.coolant, i) - ambient_c_ < k_cold_start_k;
      settled_s_ = blocks_.start_s[i] + (cold ? 0.0 : k_settling_s);
    }
    block.scored = !block.begins && block.coolant_cc != CircuitBlock::k_no_reading &&
                   block.turning > 0 && blocks_.start_s[i] >= settled_s_;
  }

  const Blocks& blocks_;
  double length_s_ = 0.0;
  double ambient_c_ = k_usual_ambient_c;
  double before_mps_ = 0.0;
  double settled_s_ = 0.0;
};

void add_block(CircuitInputs& inputs, const CircuitBlock& block) {
  const double wind = block.speed_kmh / 90.0;
  const bool known = block.coolant_cc != CircuitBlock::k_no_reading;
  if (block.scored && known) inputs.scored.push_back(inputs.size());
  inputs.length_s.push_back(0.1 * std::max<int>(block.length_ds, 1));
  inputs.turning.push_back(block.turning / 64.0);
  inputs.load.push_back(block.load / 200.0);
  inputs.wind.push_back(wind);
  inputs.air.push_back(air_of_wind(wind));
  inputs.ambient_c.push_back(0.1 * block.ambient_dc);
  inputs.coolant_c.push_back(known ? 0.01 * block.coolant_cc : std::nan(""));
  inputs.begins.push_back(block.begins ? 1 : 0);
}

} // namespace

CircuitDrive circuit_drive(const Blocks& blocks, double at_most_s) {
  return Reader(blocks, blocks_within(blocks, at_most_s)).drive;
}

double scored_s(const CircuitDrive& drive) {
  double seconds = 0.0;
  for (const CircuitBlock& block : drive.blocks)
    seconds += block.scored ? 0.1 * block.length_ds : 0.0;
  return seconds;
}

double air_of_wind(double wind) { return portable_pow(wind, k_air_exponent); }

CircuitInputs circuit_inputs(std::span<const CircuitDrive> drives) {
  CircuitInputs inputs;
  for (const CircuitDrive& drive : drives) {
    for (const CircuitBlock& block : drive.blocks) add_block(inputs, block);
    inputs.ends.push_back(inputs.scored.size());
  }
  return inputs;
}

double scored_s(const CircuitInputs& inputs) {
  double sum = 0.0;
  for (const std::size_t i : inputs.scored) sum += inputs.length_s[i];
  return sum;
}

} // namespace coolband
