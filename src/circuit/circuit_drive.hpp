// SPDX-License-Identifier: Apache-2.0
// A drive as the reduced circuit sees it: what heats and cools the engine, block by block; and what
// the coolant sensor said.
#pragma once

#include "coolband/circuit/fitted_circuit.hpp"
#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace coolband {

/// The first `at_most_s` of a trip. Where a column is missing, engine speed is made up from road
/// speed, load from the road; the air is as warm as the engine at a cold start, else as in the
/// standard atmosphere.
CircuitDrive circuit_drive(const Blocks& blocks, double at_most_s);

/// Seconds of a drive that a prediction can be held against.
double scored_s(const CircuitDrive& drive);

/// An engine that the log finds as cold as the air, or nearly so.
struct ColdStart {
  double shown_c = 0.0;
  double air_c = 0.0; ///< as logged
};

/// Several drives, one after the other, in the units of the fit; one entry a block in every column.
struct CircuitInputs {
  std::vector<double> length_s;
  std::vector<double> turning; ///< engine speed over 2000 rpm
  std::vector<double> load;    ///< 0..1
  std::vector<double> wind;    ///< road speed over 25 m/s
  std::vector<double> air;     ///< wind^0.87: conductance of the radiator's air side
  std::vector<double> ambient_c;
  std::vector<double> coolant_c; ///< NaN: not known
  std::vector<std::uint8_t> begins;
  std::vector<std::size_t> scored;     ///< blocks that a prediction is held against
  std::vector<std::size_t> ends;       ///< one past the last of a drive's own in `scored`
  std::optional<ColdStart> cold_start; ///< of a single drive, where the weather was logged

  [[nodiscard]] std::size_t size() const { return coolant_c.size(); }
};

/// Conductance of the radiator's air side at a wind (0 or more, over 25 m/s), over that at 25 m/s.
double air_of_wind(double wind);

CircuitInputs circuit_inputs(std::span<const CircuitDrive> drives);

double scored_s(const CircuitInputs& inputs);

} // namespace coolband
