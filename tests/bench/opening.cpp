// SPDX-License-Identifier: Apache-2.0
// How well the fitted circuit finds the true start of opening: opening_bench [VEHICLES [SEED]].
// For both worlds of support/normal_drives.hpp, by the columns of the logs and the number of
// drives.
#include "circuit/fit_circuit.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "numeric/proportion.hpp"
#include "support/normal_drives.hpp"

#include <fmt/core.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <vector>

namespace {

using namespace coolband;
using namespace coolband::testing;

struct Tally {
  std::vector<double> errors_k;
  std::size_t close = 0;      ///< within 1.5 K
  std::size_t inside = 0;     ///< true value within the 95 % limits
  std::size_t identified = 0; ///< the fit says that it knows
  double fit_s = 0.0;
  double hours = 0.0;
};

Tally study(World world, const Columns& columns, std::size_t drives, std::size_t vehicles,
            std::uint64_t seed) {
  Tally tally;
  Random random(seed);
  for (std::size_t v = 0; v < vehicles; ++v) {
    const NormalVehicle vehicle = draw_vehicle(world, drives, columns, random);
    const auto from = std::chrono::steady_clock::now();
    const auto fitted = fit_circuit(vehicle.drives);
    tally.fit_s += std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
    if (!fitted) continue;
    tally.hours += fitted->hours;
    const CircuitValue& opens = (*fitted)[CircuitParameter::opens];
    const double error_k = std::abs(opens.value - vehicle.opens_c);
    tally.errors_k.push_back(error_k);
    tally.close += error_k <= 1.5 ? 1U : 0U;
    tally.inside += opens.low <= vehicle.opens_c && vehicle.opens_c <= opens.high ? 1U : 0U;
    tally.identified += opens.identified ? 1U : 0U;
  }
  return tally;
}

void print_row(const char* world, const char* columns, std::size_t drives, const Tally& tally) {
  const std::size_t n = tally.errors_k.size();
  const auto share = [&](std::size_t count) {
    return 100.0 * static_cast<double>(count) / static_cast<double>(n);
  };
  const ShareInterval close =
      wilson_interval(static_cast<double>(tally.close), static_cast<double>(n), 0.95);
  fmt::print(
      "{:16} {:22} {:3} | {:5.2f} {:5.2f} | {:3.0f} ({:.0f} to {:.0f}) | {:3.0f} | {:3.0f} | "
      "{:.0f}\n",
      world, columns, drives, median(tally.errors_k), quantile(tally.errors_k, 0.9),
      share(tally.close), 100.0 * close.low, 100.0 * close.high, share(tally.inside),
      share(tally.identified), 1e3 * tally.fit_s / tally.hours);
}

} // namespace

int main(int argc, char** argv) {
  const auto vehicles = static_cast<std::size_t>(argc > 1 ? std::atoi(argv[1]) : 100);
  const auto seed = static_cast<std::uint64_t>(argc > 2 ? std::atoi(argv[2]) : 1);
  fmt::print("{} vehicles each, seed {}\n", vehicles, seed);
  fmt::print("{:16} {:22} {:3} | error, K    | within 1.5 K  | in limits | known | ms an hour\n",
             "world", "columns", "drives");
  for (const auto& [world, name] : {std::pair{World::test_simulator, "test simulator"},
                                    std::pair{World::thermal_circuit, "thermal circuit"}}) {
    for (const std::size_t drives : {std::size_t{3}, std::size_t{6}, std::size_t{12}})
      print_row(name, "all", drives, study(world, {}, drives, vehicles, seed));
    print_row(name, "no load", 12, study(world, {false, true, true}, 12, vehicles, seed));
    print_row(name, "no ambient", 12, study(world, {true, true, false}, 12, vehicles, seed));
    print_row(name, "coolant and time alone", 12,
              study(world, {false, false, false}, 12, vehicles, seed));
  }
  return 0;
}
