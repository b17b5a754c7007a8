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

/// By its start and its file, or (under another name) its hottest reading: a logger whose clock
/// begins anew with each drive gives all of them one start.
bool learned_from(const NormalBand& band, const ProofDrive& drive) {
  constexpr double k_same_reading_k = 0.05;
  return std::any_of(band.drives.begin(), band.drives.end(), [&](const DriveSummary& summary) {
    if (summary.start != drive.start) return false;
    const bool as_hot =
        drive.hottest_c && std::abs(summary.hottest_c - *drive.hottest_c) < k_same_reading_k;
    return file_name(summary.source) == drive.source || (as_hot && !drive.start.empty());
  });
}

/// A fault of before, and where it showed.
struct KnownFault {
  Condition condition = Condition::undetermined;
  std::vector<Situation> situations;
};
using KnownFaults = std::vector<KnownFault>;

/// A fault that the user names showed in each drive that was neither found sound nor, by itself, to
/// have another one.
bool shows_named_fault(const ProofDrive& drive, const std::optional<Condition>& fault) {
  if (!fault) return false;
  if (drive.showing == Showing::shows)
    return drive.condition == *fault || drive.condition == Condition::overheating;
  return drive.showing != Showing::clean || drive.action >= Action::service;
}

void add_drives(std::vector<ProofDrive>& drives, const RepairCase& repair,
                const Recording& recording, const std::vector<TripFinding>& findings,
                const KnownFaults& faults) {
  for (std::size_t i = 0; i < findings.size(); ++i) {
    const TripFinding& finding = findings[i];
    if (!finding.band) continue;
    ProofDrive drive = proof_drive(finding, *finding.band);
    drive.source = trip_name(recording, i, findings.size());
    drive.path = recording.source;
    drive.start = format_instant(recording.clock, finding.trip.start_s);
    drive.at = moment_at(recording.clock, finding.trip.start_s);
    drive.learned = learned_from(repair.band, drive);
    for (const KnownFault& fault : faults) {
      if (auto reason = unable_to_show(finding.trip, fault.situations))
        drive.unable.emplace_back(fault.condition, std::move(*reason));
    }
    drives.push_back(std::move(drive));
  }
}

/// The drives stand as their logs do.
void add_traces(std::vector<ProofDrive>& drives, const RepairCase& repair) {
  std::size_t at = 0;
  for (const JudgedLog& log : repair.after) {
    for (const TripFinding& finding : log.findings) {
      if (!finding.band) continue;
      ProofDrive& drive = drives[at++];
      if (!drive.learned && drive.showing != Showing::shows)
        drive.trace = trace_of(finding.trip, repair.band, repair.profile);
      if (!drive.learned) drive.shut_pace = shut_pace_of(finding.trip, repair.band, repair.profile);
    }
  }
}

void add_situation(KnownFaults& faults, Condition condition, const Situation& situation) {
  auto known = std::find_if(faults.begin(), faults.end(),
                            [&](const KnownFault& f) { return f.condition == condition; });
  if (known == faults.end()) known = faults.insert(known, {condition, {}});
  known->situations.push_back(situation);
}

/// What showed in the drives before, and in which conditions.
KnownFaults known_faults(const RepairCase& repair, const std::optional<Condition>& named) {
  KnownFaults faults;
  for (const JudgedLog& log : repair.before) {
    for (const TripFinding& finding : log.findings) {
      if (!finding.band) continue;
      const ProofDrive drive = proof_drive(finding, *finding.band);
      if (shows_named_fault(drive, named))
        add_situation(faults, *named, situation_for(*named, finding));
      else if (drive.situation)
        add_situation(faults, drive.condition, *drive.situation);
    }
  }
  return faults;
}

void add_drives_before(ProofDrives& drives, const RepairCase& repair, const KnownFaults& faults,
                       const std::optional<Condition>& named) {
  for (const JudgedLog& log : repair.before)
    add_drives(drives.before, repair, log.recording, log.findings, faults);
  for (ProofDrive& drive : drives.before) {
    if (!shows_named_fault(drive, named)) continue;
    drive.showing = Showing::shows;
    drive.condition = *named;
  }
  put_in_order(drives.before);
}

std::optional<double> mean_residual(const std::vector<ProofDrive>& drives) {
  double sum = 0.0;
  double count = 0.0;
  for (const ProofDrive& drive : drives) {
    if (!drive.residual_k || !drive.counts()) continue;
    sum += *drive.residual_k;
    count += 1.0;
  }
  if (count == 0.0) return std::nullopt;
  return sum / count;
}

std::vector<ProofDrive> judged_again(const RepairCase& repair, const NormalBand& moved,
                                     const KnownFaults& faults) {
  std::vector<ProofDrive> drives;
  for (const JudgedLog& log : repair.after)
    add_drives(drives, repair, log.recording, analyse(log.recording, moved, repair.profile),
               faults);
  put_in_order(drives);
  return drives;
}

/// The level is found twice: where a warm-up ends, and so which blocks tell a level, depends on it.
std::optional<MovedNormal> moved_normal(const RepairCase& repair, double shift_k,
                                        const VerifyOptions& options, const KnownFaults& faults) {
  MovedNormal moved;
  moved.shift_k = shift_k;
  for (int pass = 0; pass < 2; ++pass) {
    const NormalBand band = moved_band(repair.band, moved.shift_k, options.rating_c);
    moved.drives = judged_again(repair, band, faults);
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
  const KnownFaults faults = known_faults(repair, options.fault);
  add_drives_before(drives, repair, faults, options.fault);
  for (const JudgedLog& log : repair.after)
    add_drives(drives.after, repair, log.recording, log.findings, faults);
  if (!faults.empty()) add_traces(drives.after, repair);
  put_in_order(drives.after);
  const auto shift_k = mean_residual(drives.after);
  const double margin_k = options.margin_k.value_or(usual_margin_k(repair.band));
  if (shift_k && std::abs(*shift_k) > margin_k)
    drives.moved = moved_normal(repair, *shift_k, options, faults);
  return drives;
}

Verification prove(const RepairCase& repair, const VerifyOptions& options) {
  return verify(gather_drives(repair, options), repair.band, options);
}

} // namespace coolband
