// SPDX-License-Identifier: Apache-2.0
// The band by which a vehicle of a fleet is judged.
#include "fleet/vehicle_band.hpp"

#include <new>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Drives are handed to the learning in lots, so that memory does not grow with their number; a
/// band keeps far fewer one by one (`k_kept_drives`).
constexpr std::size_t k_lot = 500;

class Learner {
 public:
  Learner(const std::string& id, const VehicleFiles& files) : files_(files) {
    band_.vehicle = id;
    how_.fit_circuit = false;
  }

  void add(LogShelf& shelf, LogWork& work) {
    const auto log = shelf.open(work);
    if (!log) return;
    for (LearningDrive& drive : summarise_drives(log->recording, log->trips, shelf.vehicle(), {})) {
      if (!drive.summary) continue;
      lot_.push_back(std::move(*drive.summary));
      ++usable_;
    }
    if (lot_.size() >= k_lot) learn();
  }

  /// Why there is no band; empty when there is one.
  std::string finish() {
    if (usable_ < k_least_drives) {
      return fmt::format("{} usable trip{}: a band is learned from {} on", usable_,
                         usable_ == 1 ? "" : "s", k_least_drives);
    }
    if (!lot_.empty()) learn();
    return why_;
  }
  [[nodiscard]] const NormalBand& band() const { return band_; }

 private:
  void learn() {
    auto band = update_band(band_, std::move(lot_), files_.profile, how_);
    lot_.clear();
    if (band)
      band_ = std::move(*band);
    else
      why_ = band.error().message;
  }

  const VehicleFiles& files_;
  LearnOptions how_;
  NormalBand band_;
  std::vector<DriveSummary> lot_;
  std::size_t usable_ = 0;
  std::string why_;
};

} // namespace

std::string learn_from_logs(LogShelf& shelf, std::vector<LogWork>& logs, const std::string& id,
                            VehicleFiles& files) {
  Learner learner(id, files);
  for (LogWork& work : logs) {
    try {
      learner.add(shelf, work);
    } catch (const std::bad_alloc&) {
      // Judging it will fail in the same way, and tell.
      continue;
    }
  }
  std::string why = learner.finish();
  if (why.empty()) take_own_band(files, learner.band(), {is_restless(learner.band().traits)});
  return why;
}

bool add_circuit_to(VehicleFiles& files) {
  LearnOptions how;
  how.fit_circuit = true;
  const auto fitted = update_band(*files.band, {}, files.profile, how);
  const std::string before = files.fingerprint;
  take_own_band(files, fitted ? *fitted : *files.band, {true});
  return files.fingerprint != before;
}

} // namespace coolband
