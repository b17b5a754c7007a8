// SPDX-License-Identifier: Apache-2.0
// How far a fleet's run is, on a terminal.
#include "cli/fleet_display.hpp"

#include "cli/console.hpp"
#include "coolband/core/timestamp.hpp"
#include "fleet/fleet_words.hpp"

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <thread>

#include <unistd.h>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

using Clock = std::chrono::steady_clock;

/// A run that is over sooner shows nothing.
constexpr auto k_silent_for = std::chrono::milliseconds(500);
constexpr auto k_renewed_every = std::chrono::milliseconds(250);
constexpr const char* k_clear_line = "\r\x1b[K";

} // namespace

struct FleetDisplay::Ticker {
  Ticker(const FleetProgress& shown, std::size_t all)
      : progress(shown), vehicles(all), thread([this] { run(); }) {}

  ~Ticker() {
    {
      const std::lock_guard lock(mutex);
      ended = true;
    }
    changed.notify_all();
    thread.join();
  }

  void run() {
    std::unique_lock lock(mutex);
    auto wait = k_silent_for;
    bool shown = false;
    while (!changed.wait_for(lock, wait, [this] { return ended; })) {
      const std::chrono::duration<double> taken = Clock::now() - start;
      tell(k_clear_line + progress_words(progress, vehicles, taken.count()));
      shown = true;
      wait = k_renewed_every;
    }
    if (shown) tell(k_clear_line);
  }

  const FleetProgress& progress;
  std::size_t vehicles;
  Clock::time_point start = Clock::now();
  std::mutex mutex;
  std::condition_variable changed;
  bool ended = false;
  std::thread thread;
};

FleetDisplay::FleetDisplay(const FleetProgress& progress, std::size_t vehicles, bool wanted) {
  if (wanted && isatty(STDERR_FILENO) == 1) ticker_ = std::make_unique<Ticker>(progress, vehicles);
}

FleetDisplay::~FleetDisplay() = default;

std::string progress_words(const FleetProgress& progress, std::size_t vehicles, double seconds) {
  const std::size_t done = progress.vehicles;
  const std::size_t trips = progress.trips;
  std::string text =
      fmt::format("{} of {}, {}", done, counted(vehicles, "vehicle"), counted(trips, "trip"));
  if (seconds > 0.0)
    text += fmt::format(" ({:.0f} a second)", static_cast<double>(trips) / seconds);
  if (done > 0 && done < vehicles) {
    const double left = seconds * static_cast<double>(vehicles - done) / static_cast<double>(done);
    text += ", about " + format_duration(left) + " left";
  }
  text += ", " + counted(progress.findings, "finding");
  if (progress.problems > 0) text += ", " + counted(progress.problems, "problem");
  return text;
}

} // namespace coolband::cli
