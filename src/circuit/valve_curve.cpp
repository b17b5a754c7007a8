// SPDX-License-Identifier: Apache-2.0
// Heat in, less heat stored and lost elsewhere, over the temperature difference.
#include "circuit/valve_curve.hpp"

#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace coolband {

namespace {

/// Blocks on either side over which rise and means are taken, about two minutes in all: a shorter
/// while tells more of the lag between heat and reading than of the radiator.
constexpr std::size_t k_reach = 6;
constexpr std::size_t k_stride = 3;
constexpr double k_least_difference_k = 25.0;
/// How well the heat is known from load and engine speed, as a share (judgement).
constexpr double k_heat_error = 0.1;
/// Of a mean reading over a block, K: a 1 °C step evened out by movement.
constexpr double k_reading_error_k = 0.2;
constexpr std::size_t k_least_points = 3;

/// Straight line through the readings about one block.
struct Trend {
  double coolant_c = 0.0;
  double rise_k_per_s = 0.0;
  double rise_error = 0.0;
};

class Balance {
 public:
  Balance(const CircuitInputs& inputs, const CircuitValues& circuit)
      : inputs_(inputs), circuit_(circuit), metal_c_(metal_course(inputs, circuit)) {
    double time_s = 0.0;
    for (const double length_s : inputs.length_s) {
      times_s_.push_back(time_s + 0.5 * length_s);
      time_s += length_s;
    }
  }

  [[nodiscard]] std::optional<ConductancePoint> at(std::size_t i) const {
    if (i < k_reach || i + k_reach >= inputs_.size()) return std::nullopt;
    for (std::size_t k = i - k_reach; k <= i + k_reach; ++k) {
      const bool broken = inputs_.begins[k] != 0 && k > i - k_reach;
      if (broken || std::isnan(inputs_.coolant_c[k]) || inputs_.turning[k] == 0.0)
        return std::nullopt;
    }
    const Trend trend = trend_at(i);
    const double warmer_k = trend.coolant_c - inputs_.ambient_c[i];
    if (warmer_k < k_least_difference_k) return std::nullopt;
    return point(i, trend, warmer_k);
  }

 private:
  [[nodiscard]] double mean(const std::vector<double>& column, std::size_t i) const {
    double sum = 0.0;
    for (std::size_t k = i - k_reach; k <= i + k_reach; ++k) sum += column[k];
    return sum / (2 * k_reach + 1);
  }

  [[nodiscard]] Trend trend_at(std::size_t i) const {
    Trend trend;
    trend.coolant_c = mean(inputs_.coolant_c, i);
    const double time_s = mean(times_s_, i);
    double product = 0.0;
    double square = 0.0;
    for (std::size_t k = i - k_reach; k <= i + k_reach; ++k) {
      product += (times_s_[k] - time_s) * (inputs_.coolant_c[k] - trend.coolant_c);
      square += (times_s_[k] - time_s) * (times_s_[k] - time_s);
    }
    trend.rise_k_per_s = product / square;
    trend.rise_error = k_reading_error_k / std::sqrt(square);
    return trend;
  }

  [[nodiscard]] ConductancePoint point(std::size_t i, const Trend& trend, double warmer_k) const {
    ConductancePoint point;
    point.time_s = times_s_[i];
    point.coolant_c = trend.coolant_c;
    point.speed_kmh = 90.0 * mean(inputs_.wind, i);
    point.turning = mean(inputs_.turning, i);
    HeatConditions conditions;
    conditions.coolant_c = trend.coolant_c;
    conditions.ambient_c = inputs_.ambient_c[i];
    conditions.turning = point.turning;
    conditions.wind = mean(inputs_.wind, i);
    conditions.load = 0.0;
    for (std::size_t k = i - k_reach; k <= i + k_reach; ++k)
      conditions.load += inputs_.load[k] * inputs_.turning[k];
    conditions.load /= (2 * k_reach + 1) * point.turning;
    const HeatRates rates = heat_rates(circuit_, conditions, mean(metal_c_, i));
    const double left = rates.from_metal - rates.lost - rates.near_capacity * trend.rise_k_per_s;
    point.conductance = left / warmer_k;
    point.error =
        std::hypot(rates.near_capacity * trend.rise_error, k_heat_error * rates.from_engine) /
        warmer_k;
    point.expected =
        radiator_conductance(circuit_, valve_share(circuit_, trend.coolant_c), point.turning,
                             air_conductance(circuit_, mean(inputs_.air, i), trend.coolant_c));
    return point;
  }

  const CircuitInputs& inputs_;
  const CircuitValues& circuit_;
  std::vector<double> metal_c_;
  std::vector<double> times_s_;
};

} // namespace

std::vector<ConductancePoint> apparent_conductance(const CircuitDrive& drive,
                                                   const CircuitValues& circuit) {
  const CircuitInputs inputs = circuit_inputs({&drive, 1});
  const Balance balance(inputs, circuit);
  std::vector<ConductancePoint> points;
  for (std::size_t i = 0; i < inputs.size(); i += k_stride) {
    if (const auto point = balance.at(i)) points.push_back(*point);
  }
  return points;
}

std::vector<ConductanceBin> conductance_by_coolant(const std::vector<ConductancePoint>& points,
                                                   double step_k) {
  std::map<long, std::vector<const ConductancePoint*>> ranges;
  for (const ConductancePoint& point : points)
    ranges[std::lround(std::floor(point.coolant_c / step_k))].push_back(&point);
  std::vector<ConductanceBin> bins;
  for (const auto& [range, mine] : ranges) {
    if (mine.size() < k_least_points) continue;
    std::vector<double> values;
    std::vector<double> expected;
    for (const ConductancePoint* point : mine) {
      values.push_back(point->conductance);
      expected.push_back(point->expected);
    }
    const double low_c = static_cast<double>(range) * step_k;
    bins.push_back({low_c, low_c + step_k, quantile(values, 0.25), quantile(values, 0.5),
                    quantile(values, 0.75), median(expected), mine.size()});
  }
  return bins;
}

CircuitValues values_of(const FittedCircuit& fitted) {
  CircuitValues values{};
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) values[p] = fitted.values[p].value;
  return values;
}

} // namespace coolband
