// SPDX-License-Identifier: Apache-2.0
// The library as its users meet it: text in, findings out.
#include "accuracy/judged.hpp"

#include "coolband/analyse.hpp"
#include "coolband/import/import_log.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <utility>

namespace coolband::accuracy {
namespace {

std::optional<Recording> import_or_say(const std::string& log, const std::string& name,
                                       std::vector<std::string>& problems) {
  auto recording = import_text(log, name);
  if (recording) return std::move(*recording);
  problems.push_back(describe(recording.error()));
  return std::nullopt;
}

/// A fault named with more confidence says more; then overheating, undetermined, normal.
std::pair<int, double> weight(const Judgement& judgement) {
  const Condition condition = judgement.condition;
  if (is_fault(condition)) return {3, judgement.confidence};
  if (condition == Condition::overheating) return {2, judgement.confidence};
  return {condition == Condition::undetermined ? 1 : 0, judgement.confidence};
}

void add_episodes(const TripFinding& finding, std::vector<Stretch>& stretches) {
  for (const Episode& episode : finding.judgement.episodes) {
    if (episode.explained_by != Explanation::none) continue;
    stretches.push_back(
        {finding.trip.start_s + episode.start_s, finding.trip.start_s + episode.end_s});
  }
}

double log_evidence_of(const Judgement& judgement, Condition condition) {
  for (const Hypothesis& account : judgement.hypotheses)
    if (account.condition == condition) return account.log_evidence;
  return 0.0;
}

Verdict verdict_of(const std::vector<TripFinding>& findings) {
  Verdict verdict;
  const auto most = std::max_element(findings.begin(), findings.end(),
                                     [](const TripFinding& a, const TripFinding& b) {
                                       return weight(a.judgement) < weight(b.judgement);
                                     });
  if (most == findings.end()) return verdict;
  verdict.condition = most->judgement.condition;
  verdict.confidence = most->judgement.confidence;
  verdict.headline = most->judgement.headline;
  for (const Cause& cause : most->judgement.causes) {
    verdict.causes.push_back({cause.condition, cause.probability, !cause.confirm_by.empty(),
                              log_evidence_of(most->judgement, cause.condition)});
  }
  for (const TripFinding& finding : findings) {
    verdict.action = std::max(verdict.action, finding.judgement.action);
    add_episodes(finding, verdict.episodes);
  }
  return verdict;
}

} // namespace

Known learn_from(const std::vector<std::string>& logs, const ColumnSet& set, double stamped_c,
                 std::vector<std::string>& problems) {
  Known known;
  if (set.knowledge == Knowledge::trip) return known;
  if (set.knowledge == Knowledge::profile) {
    known.profile.emplace();
    known.profile->id = "bench";
    known.profile->thermostat_opens_c = stamped_c;
    return known;
  }
  std::vector<DriveSummary> drives;
  std::vector<Readings> readings;
  for (std::size_t i = 0; i < logs.size(); ++i) {
    const auto recording = import_or_say(logs[i], fmt::format("learn-{:02}.csv", i), problems);
    if (!recording) continue;
    readings.push_back(readings_of(*recording));
    for (LearningDrive& drive : summarise_drives(*recording))
      if (drive.summary) drives.push_back(std::move(*drive.summary));
  }
  known.median_c = normal_median_c(readings);
  auto band = learn_band(std::move(drives), "bench");
  if (band)
    known.band = std::move(*band);
  else
    problems.push_back(describe(band.error()));
  return known;
}

void judge_log(const std::string& log, const Known& known, Case& judged,
               std::vector<std::string>& problems) {
  const auto recording = import_or_say(log, judged.id + ".csv", problems);
  if (!recording) return;
  judged.verdict = verdict_of(analyse(*recording, known.band, known.profile));
  if (!known.median_c) return;
  const Readings readings = readings_of(*recording);
  judged.rule = judge_by_rule(readings, *known.median_c);
  judged.sustained_above_k = sustained_above_k(readings, *known.median_c);
}

} // namespace coolband::accuracy
