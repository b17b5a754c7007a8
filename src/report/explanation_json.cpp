// SPDX-License-Identifier: Apache-2.0
// The chain of reasons behind a judgement, as keys of coolband.report/1.
#include "report/explanation.hpp"
#include "report/json_parts.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Json line_or_null(std::size_t line) { return line > 0 ? Json(line) : Json(nullptr); }

Json rows_json(const Recording& recording, const Episode& episode) {
  const auto first = recording.row_map.at(episode.first_row);
  const auto last = recording.row_map.at(episode.last_row);
  return {{"source", recording.source},
          {"first_row", first.row},
          {"last_row", last.row},
          {"first_line", line_or_null(first.line)},
          {"last_line", line_or_null(last.line)}};
}

Json episode_json(const Recording& recording, const Episode& episode) {
  const bool erratic = episode.direction == Direction::erratic;
  Json json;
  json["rows"] = rows_json(recording, episode);
  json["logged_s"] = rounded(episode.logged_s);
  json["expected_c"] = maybe(episode.expected_c);
  json["threshold_k"] = erratic ? Json(nullptr) : rounded(episode.threshold_c);
  json["sound_c"] = maybe(episode.sound_c);
  json["observed_c"] = maybe(episode.observed_c);
  return json;
}

Json names_json(const std::vector<Condition>& conditions) {
  Json list = Json::array();
  for (const Condition condition : conditions) list.push_back(name_of(condition));
  return list;
}

Json evidence_json(const Judgement& judgement) {
  const auto items = testimonies(judgement);
  Json list = Json::array();
  for (std::size_t i = 0; i < items.size(); ++i) {
    Json likelihood = Json::object();
    for (std::size_t c = 0; c < k_cause_count; ++c) {
      likelihood[std::string(name_of(static_cast<Condition>(c)))] =
          rounded(judgement.evidence[i].likelihood[c], 9);
    }
    list.push_back({{"text", items[i].text},
                    {"for", names_json(items[i].speaks_for)},
                    {"against", names_json(items[i].speaks_against)},
                    {"likelihood", std::move(likelihood)}});
  }
  return list;
}

Json hypotheses_json(const Judgement& judgement) {
  Json list = Json::array();
  for (const Hypothesis& hypothesis : judgement.hypotheses) {
    list.push_back({{"condition", name_of(hypothesis.condition)},
                    {"what", hypothesis.what},
                    {"misfit_k", rounded(hypothesis.misfit_k)},
                    {"log_evidence", rounded(hypothesis.log_evidence)},
                    {"active_share", rounded(hypothesis.active_share)}});
  }
  return list;
}

} // namespace

Json explanation_json(const TripReport& report) {
  const Judgement& judgement = report.finding.judgement;
  Json json;
  json["episodes"] = Json::array();
  for (const Episode& episode : judgement.episodes)
    json["episodes"].push_back(episode_json(report.recording, episode));
  json["evidence"] = evidence_json(judgement);
  json["hypotheses"] = hypotheses_json(judgement);
  return json;
}

} // namespace coolband
