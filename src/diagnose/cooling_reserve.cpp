// SPDX-License-Identifier: Apache-2.0
// Means over minutes: an engine's heat capacity takes shorter bursts.
#include "diagnose/cooling_reserve.hpp"

#include <algorithm>
#include <optional>

namespace coolband {

namespace {

/// The hot day of a hot country that vehicles are made for, °C.
constexpr double k_made_for_c = 42.0;
/// There, uphill, the reading stays short of where warning lamps come on, °C; standing, a little
/// above where fans come in (common practice, no source).
constexpr double k_climbing_limit_c = 115.0;
constexpr double k_standing_limit_c = 108.0;
constexpr double k_limit_scatter_k = 5.0;
/// Over so long, s.
constexpr double k_demand_s = 300.0;
/// 3 km/h, over 25 m/s.
constexpr double k_stands = 3.0 / 90.0;

/// Time-weighted means over a window that ends at the latest block.
class Window {
 public:
  explicit Window(const CircuitInputs& inputs) : inputs_(inputs) {}

  void add(std::size_t i) {
    weigh(i, 1.0);
    while (length_s_ - inputs_.length_s[first_] >= k_demand_s) weigh(first_++, -1.0);
  }
  void restart(std::size_t i) {
    first_ = i;
    length_s_ = heat_ = turning_ = wind_ = 0.0;
  }
  [[nodiscard]] bool full() const { return length_s_ >= k_demand_s; }
  /// Load by heat: the mean of turning times load, over that of turning.
  [[nodiscard]] HeatConditions mean() const {
    return {0.0, k_made_for_c, turning_ / length_s_, turning_ > 0.0 ? heat_ / turning_ : 0.0,
            wind_ / length_s_};
  }
  [[nodiscard]] double heat() const { return heat_ / length_s_; }

 private:
  void weigh(std::size_t i, double sign) {
    const double length_s = sign * inputs_.length_s[i];
    length_s_ += length_s;
    heat_ += length_s * inputs_.turning[i] * inputs_.load[i];
    turning_ += length_s * inputs_.turning[i];
    wind_ += length_s * inputs_.wind[i];
  }

  const CircuitInputs& inputs_;
  std::size_t first_ = 0;
  double length_s_ = 0.0, heat_ = 0.0, turning_ = 0.0, wind_ = 0.0;
};

} // namespace

std::vector<Demand> demands_of(const CircuitInputs& inputs) {
  std::optional<Demand> climbing;
  std::optional<Demand> standing;
  double most_heat = 0.0;
  Window running(inputs);
  Window idle(inputs);
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    if (inputs.begins[i] != 0) running.restart(i);
    running.add(i);
    if (running.full() && running.heat() > most_heat) {
      most_heat = running.heat();
      climbing = Demand{running.mean(), k_climbing_limit_c};
    }
    const bool stands = inputs.wind[i] < k_stands && inputs.turning[i] > 0.0;
    if (inputs.begins[i] != 0 || !stands) idle.restart(stands ? i : i + 1);
    if (stands) idle.add(i);
    if (stands && idle.full()) standing = Demand{idle.mean(), k_standing_limit_c};
  }
  std::vector<Demand> demands;
  if (climbing) demands.push_back(*climbing);
  if (standing) demands.push_back(*standing);
  return demands;
}

double shortfall(const CircuitValues& circuit, const Demand& demand) {
  const double rest_c = steady_coolant_c(circuit, demand.conditions);
  return std::max(0.0, (rest_c - demand.limit_c) / k_limit_scatter_k);
}

} // namespace coolband
