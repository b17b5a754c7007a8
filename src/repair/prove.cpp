// SPDX-License-Identifier: Apache-2.0
// From judged logs to the drives that a proof rests on.
#include "repair/prove.hpp"

#include "coolband/core/timestamp.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

std::string file_name(const std::string& path) {
  return path == "-" ? "standard input" : path.substr(path.find_last_of('/') + 1);
}

std::string trip_name(const Recording& recording, std::size_t trip, std::size_t trips) {
  const std::string file = file_name(recording.source);
  return trips > 1 ? fmt::format("{}#{}", file, trip + 1) : file;
}

bool learned_from(const NormalBand& band, const ProofDrive& drive) {
  return std::any_of(band.drives.begin(), band.drives.end(), [&](const DriveSummary& summary) {
    return summary.start == drive.start &&
           (!drive.start.empty() || file_name(summary.source) == drive.source);
  });
}

/// `situations`: where the fault showed before; empty: nothing is known of one.
void add_drives(std::vector<ProofDrive>& drives, const RepairCase& repair,
                const Recording& recording, const std::vector<TripFinding>& findings,
                const std::vector<Situation>& situations) {
  for (std::size_t i = 0; i < findings.size(); ++i) {
    const TripFinding& finding = findings[i];
    if (!finding.band) continue;
    ProofDrive drive = proof_drive(finding, *finding.band);
    drive.source = trip_name(recording, i, findings.size());
    drive.start = format_instant(recording.clock, finding.trip.start_s);
    drive.learned = learned_from(repair.band, drive);
    if (drive.learned)
      drive.unable_because = "the band was learned from it, so that it is normal by itself";
    else if (!situations.empty() && !drive.situation)
      drive.unable_because = unable_to_show(finding.trip, situations);
    drives.push_back(std::move(drive));
  }
}

/// A fault that the user names showed in each drive that was not found to be sound.
void take_fault(const TripFinding& finding, const std::optional<Condition>& fault,
                ProofDrive& drive) {
  const bool sound = drive.showing == Showing::clean && drive.action < Action::service;
  if (!fault || sound) return;
  drive.showing = Showing::shows;
  drive.condition = *fault;
  if (!drive.situation) drive.situation = oddest_situation(finding);
}

void add_drives_before(ProofDrives& drives, const RepairCase& repair,
                       const std::vector<Situation>& situations,
                       const std::optional<Condition>& fault) {
  for (const JudgedLog& log : repair.before) {
    std::vector<ProofDrive> some;
    add_drives(some, repair, log.recording, log.findings, situations);
    std::size_t at = 0;
    for (const TripFinding& finding : log.findings) {
      if (finding.band) take_fault(finding, fault, some[at++]);
    }
    drives.before.insert(drives.before.end(), some.begin(), some.end());
  }
  put_in_order(drives.before);
}

std::vector<Situation> situations_of(const std::vector<JudgedLog>& logs, bool fault_is_known) {
  std::vector<Situation> situations;
  for (const JudgedLog& log : logs) {
    for (const TripFinding& finding : log.findings) {
      auto situation = situation_of(finding);
      if (!situation && fault_is_known) situation = oddest_situation(finding);
      if (situation) situations.push_back(*situation);
    }
  }
  return situations;
}

std::optional<double> mean_residual(const std::vector<ProofDrive>& drives) {
  double sum = 0.0;
  double count = 0.0;
  for (const ProofDrive& drive : drives) {
    if (!drive.residual_k || drive.learned) continue;
    sum += *drive.residual_k;
    count += 1.0;
  }
  if (count == 0.0) return std::nullopt;
  return sum / count;
}

std::vector<ProofDrive> judged_again(const RepairCase& repair, const NormalBand& moved,
                                     const std::vector<Situation>& situations) {
  std::vector<ProofDrive> drives;
  for (const JudgedLog& log : repair.after)
    add_drives(drives, repair, log.recording, analyse(log.recording, moved, repair.profile),
               situations);
  put_in_order(drives);
  return drives;
}

/// The level is found twice: where a warm-up ends, and so which blocks tell a level, depends on it.
std::optional<MovedNormal> moved_normal(const RepairCase& repair, double shift_k,
                                        const VerifyOptions& options,
                                        const std::vector<Situation>& situations) {
  MovedNormal moved;
  moved.shift_k = shift_k;
  for (int pass = 0; pass < 2; ++pass) {
    const NormalBand band = moved_band(repair.band, moved.shift_k, options.rating_c);
    moved.drives = judged_again(repair, band, situations);
    moved.level_c = band.centre_c;
    const auto rest = mean_residual(moved.drives);
    if (!rest) return std::nullopt;
    if (pass == 0) moved.shift_k += *rest;
  }
  for (ProofDrive& drive : moved.drives) { // as for the other drives: less what the band expects
    if (drive.residual_k) *drive.residual_k += moved.shift_k;
  }
  return moved;
}

} // namespace

NormalBand moved_band(const NormalBand& band, double shift_k,
                      const std::optional<double>& rating_c) {
  NormalBand moved = band;
  moved.centre_c += shift_k;
  moved.opens_c = rating_c;
  moved.circuit = std::nullopt;
  moved.drift = std::nullopt;
  for (auto* trait : {&moved.traits.opens_c, &moved.traits.hottest_idle_c}) {
    if (*trait) (*trait)->value += shift_k;
  }
  return moved;
}

ProofDrives gather_drives(const RepairCase& repair, const VerifyOptions& options) {
  ProofDrives drives;
  drives.unread = repair.unread;
  const auto situations = situations_of(repair.before, options.fault.has_value());
  add_drives_before(drives, repair, situations, options.fault);
  for (const JudgedLog& log : repair.after)
    add_drives(drives.after, repair, log.recording, log.findings, situations);
  put_in_order(drives.after);
  const auto shift_k = mean_residual(drives.after);
  const double margin_k = options.margin_k.value_or(usual_margin_k(repair.band));
  if (shift_k && std::abs(*shift_k) > margin_k)
    drives.moved = moved_normal(repair, *shift_k, options, situations);
  return drives;
}

Verification prove(const RepairCase& repair, const VerifyOptions& options) {
  return verify(gather_drives(repair, options), repair.band, options);
}

} // namespace coolband
