// SPDX-License-Identifier: Apache-2.0
// A job card's fields.
#include "report/job_words.hpp"

#include <algorithm>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

constexpr std::string_view k_km = "_km";

bool is_in_km(const JobField& field) {
  return field.key.ends_with(k_km) && !std::holds_alternative<std::string>(field.value);
}

} // namespace

std::string job_label(const JobField& field) {
  std::string label = field.key;
  if (is_in_km(field)) label.erase(label.size() - k_km.size());
  std::replace(label.begin(), label.end(), '_', ' ');
  return label;
}

std::string job_text(const JobField& field) {
  std::string text =
      std::visit([](const auto& value) { return fmt::format("{}", value); }, field.value);
  return is_in_km(field) ? text + " km" : text;
}

std::string job_words(const JobCard& job) {
  std::string words;
  for (const JobField& field : job)
    words += (words.empty() ? "" : "; ") + job_label(field) + " " + job_text(field);
  return words;
}

std::vector<std::pair<std::string, std::string>> job_pairs(const JobCard& job) {
  std::vector<std::pair<std::string, std::string>> pairs;
  pairs.reserve(job.size());
  for (const JobField& field : job) pairs.emplace_back(job_label(field), job_text(field));
  return pairs;
}

nlohmann::ordered_json job_json(const JobCard& job) {
  auto json = nlohmann::ordered_json::object();
  for (const JobField& field : job)
    std::visit([&](const auto& value) { json[field.key] = value; }, field.value);
  return json;
}

} // namespace coolband
