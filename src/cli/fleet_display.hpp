// SPDX-License-Identifier: Apache-2.0
// How far a fleet's run is, on a terminal.
#pragma once

#include "fleet/run_fleet.hpp"

#include <memory>

namespace coolband::cli {

/// A line on standard error, renewed several times a second, gone when the display goes. It shows
/// nothing unless standard error is a terminal and `wanted`.
class FleetDisplay {
 public:
  FleetDisplay(const FleetProgress& progress, std::size_t vehicles, bool wanted);
  FleetDisplay(const FleetDisplay&) = delete;
  FleetDisplay& operator=(const FleetDisplay&) = delete;
  ~FleetDisplay();

 private:
  struct Ticker;
  std::unique_ptr<Ticker> ticker_;
};

/// "12 of 200 vehicles, 240 trips (118 a second), about 16 s left, 3 findings, 1 problem"
std::string progress_words(const FleetProgress& progress, std::size_t vehicles, double seconds);

} // namespace coolband::cli
