// SPDX-License-Identifier: Apache-2.0
// The chain of reasons behind a judgement, for a person.
#include "report/explanation.hpp"
#include "core/signed_tenths.hpp"
#include "report/confidence_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

bool holds(const std::vector<std::string>& texts, const std::string& text) {
  return std::find(texts.begin(), texts.end(), text) != texts.end();
}

std::string listed(const std::vector<Condition>& conditions) {
  std::string text;
  for (const Condition condition : conditions)
    text += (text.empty() ? "" : ", ") + std::string(name_of(condition));
  return text;
}

/// "tour.csv:516..1140 (lines 519 to 1143)"
std::string place_words(const Recording& recording, const Episode& episode) {
  const auto first = recording.row_map.at(episode.first_row);
  const auto last = recording.row_map.at(episode.last_row);
  std::string text =
      fmt::format("{}:{}..{}", recording.source == "-" ? "standard input" : recording.source,
                  first.row, last.row);
  if (first.line > 0) text += fmt::format(" (lines {} to {})", first.line, last.line);
  return text;
}

std::string time_words(const TripReport& report, const Episode& episode) {
  const Recording& recording = report.recording;
  const double trip_s = report.finding.trip.start_s;
  std::string text =
      fmt::format("{} to {}", minute_words(episode.start_s), minute_words(episode.end_s));
  const std::string start = format_instant(recording.clock, trip_s + episode.start_s);
  if (!start.empty())
    text +=
        fmt::format(" ({} to {})", start, format_instant(recording.clock, trip_s + episode.end_s));
  return text + ", " + format_duration(episode.end_s - episode.start_s);
}

/// Mean over an episode's blocks, for an episode that does not carry its own.
std::optional<double> mean_over(const std::vector<float>& column, const Blocks& blocks,
                                const Episode& episode) {
  double sum = 0.0;
  double count = 0.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const bool inside = blocks.end_s[i] >= episode.start_s && blocks.start_s[i] <= episode.end_s;
    if (!inside || std::isnan(column[i])) continue;
    sum += static_cast<double>(column[i]);
    count += 1.0;
  }
  return count > 0.0 ? std::optional(sum / count) : std::nullopt;
}

std::string condition_words(const Blocks& blocks, const Episode& episode) {
  const auto one = [&](const char* name, const std::optional<double>& own,
                       const std::vector<float>& column, const char* unit) {
    const auto value = own ? own : mean_over(column, blocks, episode);
    return value ? fmt::format("{} {:.0f} {}", name, *value, unit)
                 : fmt::format("{} not logged", name);
  };
  return one("load", episode.load_pct, blocks.load, "%") + ", " +
         one("outside", episode.ambient_c, blocks.ambient, "°C") + ", " +
         one("road speed", episode.speed_kmh, blocks.speed, "km/h");
}

/// What the band expected; of an erratic stretch it expects nothing.
std::string expected_words(const Episode& episode) {
  if (episode.direction == Direction::erratic) return "nothing: the reading is no coolant";
  std::string text =
      episode.expected_c ? fmt::format("{:.1f} °C on average; ", *episode.expected_c) : "";
  return text + fmt::format("an excursion begins {:.1f} K off", episode.threshold_c);
}

std::string observed_words(const Episode& episode) {
  std::string text = episode.observed_c ? fmt::format("{:.1f} °C on average, ", *episode.observed_c)
                                        : std::string();
  text += fmt::format("{:.1f} °C at the farthest", episode.extreme_c);
  if (episode.direction == Direction::erratic) return text;
  return text + fmt::format("; {:+.1f} K on average, {:+.1f} K at the worst",
                            episode.mean_deviation_c, episode.worst_deviation_c);
}

std::string sound_words(const Episode& episode) {
  return episode.sound_c ? fmt::format("{:.1f} °C on average", *episode.sound_c)
                         : std::string("not known");
}

std::string account_words(const Episode& episode) {
  if (episode.explained_by != Explanation::none)
    return fmt::format("explained by {}: no fault", name_of(episode.explained_by));
  if (episode.cause == Condition::undetermined) return "no cause could be named";
  return fmt::format("{}, confidence {:.0f} %", name_of(episode.cause), 100.0 * episode.confidence);
}

void add_episode(Page& page, const TripReport& report, std::size_t index) {
  const Episode& episode = report.finding.judgement.episodes[index];
  page.add(fmt::format("EPISODE {}", index + 1), "rows: " + place_words(report.recording, episode));
  page.add("", "time: " + time_words(report, episode));
  page.add("", "conditions: " + condition_words(report.finding.trip.blocks, episode));
  page.add("", "band expected: " + expected_words(episode));
  page.add("", "sound circuit: " + sound_words(episode));
  page.add("", "observed: " + observed_words(episode));
  page.add("", "put down to: " + account_words(episode));
}

void add_evidence(Page& page, const Judgement& judgement) {
  std::vector<std::string> lines;
  for (const Testimony& item : testimonies(judgement)) {
    std::string line = item.text;
    if (!item.speaks_for.empty()) line += "; for " + listed(item.speaks_for);
    if (!item.speaks_against.empty()) line += "; against " + listed(item.speaks_against);
    if (item.speaks_for.empty() && item.speaks_against.empty())
      line += "; hardly tells the causes apart";
    lines.push_back(std::move(line));
  }
  if (lines.empty()) lines.emplace_back("none");
  page.add_list("EVIDENCE", lines);
}

void add_hypotheses(Page& page, const Judgement& judgement) {
  std::vector<std::string> lines;
  for (const Hypothesis& h : judgement.hypotheses) {
    std::string line = fmt::format("{}: {}; misfit {:.2f} K, log evidence {}", name_of(h.condition),
                                   h.what, h.misfit_k, signed_tenths(h.log_evidence));
    if (h.active_share < 1.0 && h.condition != Condition::normal)
      line += fmt::format(", at work {:.0f} % of the time", 100.0 * h.active_share);
    lines.push_back(std::move(line));
  }
  if (lines.empty()) {
    page.add("CIRCUIT", "the thermal circuit could not be held against this trip");
    return;
  }
  page.add("CIRCUIT", "accounts of the trip by the thermal circuit, best first; log evidence is "
                      "beyond that of the sound vehicle, above 0 speaks for the account");
  page.add_list("", lines);
}

void add_causes(Page& page, const TripFinding& finding) {
  const Judgement& judgement = finding.judgement;
  std::vector<std::string> lines;
  lines.reserve(judgement.causes.size());
  for (const Cause& cause : judgement.causes) {
    const std::string share = cause.probability < 0.001
                                  ? std::string("below 0.1 %")
                                  : fmt::format("{:.1f} %", 100.0 * cause.probability);
    lines.push_back(fmt::format("{} {}", name_of(cause.condition), share));
  }
  page.add_list("CAUSES", lines, true);
  if (const std::string note = shares_note(finding); !note.empty()) page.add("", note);
}

} // namespace

std::string minute_words(double seconds) {
  const auto whole = static_cast<long>(std::floor(seconds));
  return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

std::vector<Testimony> testimonies(const Judgement& judgement) {
  std::vector<Testimony> items;
  for (const Evidence& evidence : judgement.evidence) {
    Testimony item{evidence.text, {}, {}};
    for (const Cause& cause : judgement.causes) {
      if (holds(cause.evidence_for, evidence.text)) item.speaks_for.push_back(cause.condition);
      if (holds(cause.evidence_against, evidence.text))
        item.speaks_against.push_back(cause.condition);
    }
    items.push_back(std::move(item));
  }
  return items;
}

void add_explanation(Page& page, const TripReport& report) {
  const Judgement& judgement = report.finding.judgement;
  page.add_blank();
  page.add_heading("HOW THE VERDICT CAME ABOUT");
  for (std::size_t i = 0; i < judgement.episodes.size(); ++i) add_episode(page, report, i);
  if (judgement.episodes.empty()) page.add("EPISODES", "none");
  add_evidence(page, judgement);
  add_hypotheses(page, judgement);
  add_causes(page, report.finding);
}

} // namespace coolband
