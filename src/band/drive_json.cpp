// SPDX-License-Identifier: Apache-2.0
// Writing and reading drives; a wrong size or an impossible number is a complaint.
#include "band/drive_json.hpp"

#include "band/circuit_json.hpp"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

void put(Json& json, const char* key, const std::optional<double>& value) {
  if (value) json[key] = *value;
}

void put(Json& json, const char* key, const std::optional<Range>& range) {
  if (range) json[key] = {range->low, range->high};
}

void put(Json& json, const Moments& moments, const char* mean, const char* covariance) {
  Json names = Json::array();
  for (const Factor factor : moments.factors) names.push_back(name_of(factor));
  json["factors"] = std::move(names);
  if (mean != nullptr) json[mean] = moments.mean;
  json[covariance] = moments.covariance;
}

std::optional<Factor> factor_named(const std::string& name) {
  for (std::size_t f = 0; f < k_factor_count; ++f) {
    if (name_of(static_cast<Factor>(f)) == name) return static_cast<Factor>(f);
  }
  return std::nullopt;
}

std::vector<Factor> factors_from(FieldReader& reader, const Json& json) {
  std::vector<Factor> factors;
  const auto found = json.find("factors");
  if (found == json.end() || !found->is_array()) {
    reader.complain("factors", "is missing");
    return factors;
  }
  for (const Json& name : *found) {
    const auto factor = name.is_string() ? factor_named(name.get<std::string>()) : std::nullopt;
    const bool ascends = factor && (factors.empty() || factors.back() < *factor);
    if (!ascends) {
      reader.complain("factors", "must name known factors in order");
      return {};
    }
    factors.push_back(*factor);
  }
  if (factors.empty() || factors.front() != Factor::coolant)
    reader.complain("factors", "must begin with coolant");
  return factors;
}

std::vector<double> numbers_from(FieldReader& reader, const Json& json, const char* key,
                                 std::size_t count) {
  std::vector<double> numbers;
  const auto found = json.find(key);
  if (found != json.end() && found->is_array()) {
    for (const Json& number : *found) {
      if (number.is_number()) numbers.push_back(number.get<double>());
    }
  }
  const bool sane = std::all_of(numbers.begin(), numbers.end(), [](double value) {
    return value >= k_any.low && value <= k_any.high;
  });
  if (numbers.size() != count || !sane) reader.complain(key, "must hold a number for each factor");
  numbers.resize(count);
  return numbers;
}

Moments moments_from(FieldReader& reader, const Json& json, const char* mean,
                     const char* covariance) {
  Moments moments;
  moments.factors = factors_from(reader, json);
  const std::size_t count = moments.factors.size();
  moments.mean =
      mean == nullptr ? std::vector<double>(count) : numbers_from(reader, json, mean, count);
  moments.covariance = numbers_from(reader, json, covariance, count * (count + 1) / 2);
  for (std::size_t i = 0, place = 0; i < count; place += ++i + 1) {
    if (moments.covariance[place] < 0.0) reader.complain(covariance, "has a variance below 0");
  }
  return moments;
}

/// Bands of before the moments: a level, and a slope on load where there was one.
Moments moments_of_earlier_kind(FieldReader& reader, const Json& json, const DriveSummary& drive) {
  const auto mean = reader.number(json, "load_mean_pct", k_any);
  const auto scatter = reader.number(json, "load_scatter_pct", k_positive);
  const double slope = reader.number(json, "load_slope_c_per_pct", k_any).value_or(0.0);
  const double rest = drive.scatter_c * drive.scatter_c;
  if (!mean || !scatter) return {{Factor::coolant}, {drive.level_c}, {rest}};
  const double load = *scatter * *scatter;
  return {{Factor::coolant, Factor::load_60s},
          {drive.level_c, *mean},
          {slope * slope * load + rest, slope * load, load}};
}

Json warm_up_json(const WarmUp& warm_up) {
  Json json;
  json["from_c"] = warm_up.from_c;
  put(json, "reached_s", warm_up.reached_s);
  put(json, "rate_k_per_min", warm_up.rate_k_per_min);
  put(json, "opened_c", warm_up.opened_c);
  put(json, "load_mean_pct", warm_up.load_mean_pct);
  put(json, "ambient_c", warm_up.ambient_c);
  return json;
}

std::optional<WarmUp> warm_up_from(FieldReader& reader, const Json& json) {
  const auto found = json.find("warm_up");
  if (found == json.end() || found->is_null()) return std::nullopt;
  if (!found->is_object()) {
    reader.complain("warm_up", "must be an object");
    return std::nullopt;
  }
  WarmUp warm_up;
  warm_up.from_c = reader.required_number(*found, "from_c", k_reading_c);
  warm_up.reached_s = reader.number(*found, "reached_s", k_positive);
  warm_up.rate_k_per_min = reader.number(*found, "rate_k_per_min", k_any);
  warm_up.opened_c = reader.number(*found, "opened_c", k_reading_c);
  warm_up.load_mean_pct = reader.number(*found, "load_mean_pct", k_any);
  warm_up.ambient_c = reader.number(*found, "ambient_c", k_any);
  return warm_up;
}

Json regulation_json(const Regulation& regulation) {
  Json json = Json::object();
  put(json, "amplitude_k", regulation.amplitude_k);
  put(json, "period_s", regulation.period_s);
  put(json, "hottest_idle_c", regulation.hottest_idle_c);
  put(json, "best_cooling_k_per_min", regulation.best_cooling_k_per_min);
  put(json, "dips_per_h", regulation.dips_per_h);
  put(json, "roughness_k", regulation.roughness_k);
  return json;
}

Regulation regulation_from(FieldReader& reader, const Json& json) {
  Regulation regulation;
  const auto found = json.find("regulation");
  if (found == json.end() || !found->is_object()) return regulation;
  regulation.amplitude_k = reader.number(*found, "amplitude_k", k_positive);
  regulation.period_s = reader.number(*found, "period_s", k_positive);
  regulation.hottest_idle_c = reader.number(*found, "hottest_idle_c", k_reading_c);
  regulation.best_cooling_k_per_min = reader.number(*found, "best_cooling_k_per_min", k_any);
  regulation.dips_per_h = reader.number(*found, "dips_per_h", k_positive);
  regulation.roughness_k = reader.number(*found, "roughness_k", k_positive);
  return regulation;
}

} // namespace

std::string unknown_fields(const Json& json, const Json& known) {
  Json extra = Json::object();
  for (const auto& [key, value] : json.items()) {
    if (!known.contains(key)) extra[key] = value;
  }
  return extra.empty() ? "" : extra.dump();
}

Json drive_json(const DriveSummary& drive) {
  Json json;
  json["source"] = drive.source;
  json["start"] = drive.start;
  json["warm_s"] = drive.warm_s;
  json["level_c"] = drive.level_c;
  json["scatter_c"] = drive.scatter_c;
  json["effective_count"] = drive.effective_count;
  json["correlation_s"] = drive.correlation_s;
  json["resolution_c"] = drive.resolution_c;
  json["hottest_c"] = drive.hottest_c;
  put(json, "load_seen_pct", drive.load_seen_pct);
  put(json, "speed_seen_kmh", drive.speed_seen_kmh);
  put(json, "climb_seen_m_per_min", drive.climb_seen_m_per_min);
  put(json, "ambient_mean_c", drive.ambient_mean_c);
  put(json, "ambient_seen_c", drive.ambient_seen_c);
  if (drive.warm_up) json["warm_up"] = warm_up_json(*drive.warm_up);
  if (Json regulation = regulation_json(drive.regulation); !regulation.empty())
    json["regulation"] = std::move(regulation);
  put(json, drive.moments, "mean", "covariance");
  if (!drive.circuit.blocks.empty()) json["circuit"] = circuit_drive_json(drive.circuit);
  if (!drive.extra_json.empty()) json.update(Json::parse(drive.extra_json));
  return json;
}

DriveSummary drive_from(FieldReader& reader, const Json& json) {
  DriveSummary drive;
  drive.source = reader.required_text(json, "source");
  drive.start = reader.text(json, "start").value_or("");
  drive.warm_s = reader.required_number(json, "warm_s", k_positive);
  drive.level_c = reader.required_number(json, "level_c", k_reading_c);
  drive.scatter_c = reader.required_number(json, "scatter_c", k_positive);
  drive.effective_count = reader.required_number(json, "effective_count", {1.0, 1e9});
  drive.correlation_s = reader.required_number(json, "correlation_s", k_positive);
  drive.resolution_c = reader.required_number(json, "resolution_c", k_positive);
  drive.hottest_c = reader.required_number(json, "hottest_c", k_reading_c);
  drive.load_seen_pct = reader.range(json, "load_seen_pct");
  drive.speed_seen_kmh = reader.range(json, "speed_seen_kmh");
  drive.climb_seen_m_per_min = reader.range(json, "climb_seen_m_per_min");
  drive.ambient_mean_c = reader.number(json, "ambient_mean_c", k_any);
  drive.ambient_seen_c = reader.range(json, "ambient_seen_c");
  drive.warm_up = warm_up_from(reader, json);
  drive.regulation = regulation_from(reader, json);
  drive.moments = json.contains("factors") ? moments_from(reader, json, "mean", "covariance")
                                           : moments_of_earlier_kind(reader, json, drive);
  drive.circuit = circuit_drive_from(reader, json);
  if (reader.complaint()) return drive;
  Json known = drive_json(drive);
  for (const char* key :
       {"load_seen_pct", "speed_seen_kmh", "climb_seen_m_per_min", "ambient_mean_c",
        "ambient_seen_c", "warm_up", "regulation", "circuit", "reason", "load_mean_pct",
        "load_scatter_pct", "load_slope_c_per_pct", "load_slope_error_c_per_pct"})
    known[key] = nullptr;
  drive.extra_json = unknown_fields(json, known);
  return drive;
}

Json folded_json(const FoldedDrives& sums) {
  Json json;
  json["count"] = sums.count;
  json["first_start"] = sums.first_start;
  json["last_start"] = sums.last_start;
  json["warm_s"] = sums.warm_s;
  json["looks"] = sums.looks;
  json["scatter_k2"] = sums.scatter_k2;
  json["scatter_k4"] = sums.scatter_k4;
  json["explained_k2"] = sums.explained_k2;
  json["correlation_s"] = sums.correlation_s;
  json["resolution_c"] = sums.resolution_c;
  put(json, sums.between, "mean", "covariance_between");
  json["covariance_within"] = sums.within.covariance;
  if (sums.ambient_mean_c) {
    json["ambient_mean_c"] = *sums.ambient_mean_c;
    json["ambient_variance_k2"] = sums.ambient_variance_k2;
    json["ambient_covariance"] = sums.ambient_covariance;
  }
  put(json, "load_seen_pct", sums.load_seen_pct);
  put(json, "speed_seen_kmh", sums.speed_seen_kmh);
  put(json, "climb_seen_m_per_min", sums.climb_seen_m_per_min);
  put(json, "ambient_seen_c", sums.ambient_seen_c);
  return json;
}

FoldedDrives folded_from(FieldReader& reader, const Json& json) {
  FoldedDrives sums;
  sums.count = reader.required_count(json, "count", {1.0, 1e9});
  sums.first_start = reader.text(json, "first_start").value_or("");
  sums.last_start = reader.text(json, "last_start").value_or("");
  sums.warm_s = reader.required_number(json, "warm_s", {0.0, 1e15});
  sums.looks = reader.required_number(json, "looks", {1.0, 1e15});
  sums.scatter_k2 = reader.required_number(json, "scatter_k2", k_positive);
  sums.scatter_k4 = reader.required_number(json, "scatter_k4", k_positive);
  sums.explained_k2 = reader.required_number(json, "explained_k2", k_positive);
  sums.correlation_s = reader.required_number(json, "correlation_s", k_positive);
  sums.resolution_c = reader.required_number(json, "resolution_c", k_positive);
  sums.between = moments_from(reader, json, "mean", "covariance_between");
  sums.within = moments_from(reader, json, nullptr, "covariance_within");
  sums.ambient_mean_c = reader.number(json, "ambient_mean_c", k_any);
  if (sums.ambient_mean_c) {
    sums.ambient_variance_k2 = reader.required_number(json, "ambient_variance_k2", k_positive);
    sums.ambient_covariance =
        numbers_from(reader, json, "ambient_covariance", sums.between.factors.size());
  }
  sums.load_seen_pct = reader.range(json, "load_seen_pct");
  sums.speed_seen_kmh = reader.range(json, "speed_seen_kmh");
  sums.climb_seen_m_per_min = reader.range(json, "climb_seen_m_per_min");
  sums.ambient_seen_c = reader.range(json, "ambient_seen_c");
  return sums;
}

} // namespace coolband
