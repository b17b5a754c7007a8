// SPDX-License-Identifier: Apache-2.0
// What a completed run says of itself.
#include "fleet/run_manifest.hpp"

#include "fleet/content_hash.hpp"
#include "fleet/percent_code.hpp"
#include "fleet/record_json.hpp"

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <iterator>

#include <fcntl.h>
#include <unistd.h>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view k_manifest_schema = "coolband.run/1";
/// The last line: a list that ends without it was cut.
constexpr std::string_view k_end = " end";
constexpr std::size_t k_block = std::size_t{64} * 1024;

/// Any bytes as one word, to be had back exactly.
std::string as_word(std::string_view id) { return percent_encoded(id, "._-"); }

std::optional<std::string> from_word(std::string_view word) {
  std::string id;
  for (std::size_t i = 0; i < word.size(); ++i) {
    if (word[i] != '%') {
      id += word[i];
      continue;
    }
    unsigned byte = 0;
    if (i + 2 >= word.size()) return std::nullopt;
    const char* first = word.data() + i + 1;
    const auto [end, error] = std::from_chars(first, first + 2, byte, 16);
    if (error != std::errc() || end != first + 2) return std::nullopt;
    id += static_cast<char>(byte);
    i += 2;
  }
  return id;
}

template <class T>
std::vector<T> united(const std::vector<T>& a, const std::vector<T>& b) {
  std::vector<T> result;
  std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(result));
  return result;
}

RunManifest manifest_in(const Json& json) {
  RunManifest manifest;
  if (json.at("schema") != k_manifest_schema) throw std::runtime_error("another schema");
  manifest.version = json.at("version");
  manifest.judged_by = json.at("judged_by");
  manifest.recent = json.at("recent");
  manifest.shards = {json.at("shards").at("count"), json.at("shards").at("numbers")};
  manifest.runs = json.at("runs").get<std::vector<std::size_t>>();
  for (const Json& seen : json.at("fleets"))
    manifest.fleets.push_back({seen.at("vehicles"), seen.at("hash")});
  manifest.problems = problems_in(json.at("problems"));
  manifest.passed_over = json.at("passed_over");
  return manifest;
}

} // namespace

FleetSeen fleet_seen(const FleetPlan& plan) {
  ContentHash hash;
  for (std::size_t i = 0; i < plan.vehicles.size(); ++i) {
    hash.add(as_word(plan.id_of(i)));
    hash.add("\n");
  }
  return {plan.vehicles.size(), hex_of(hash.value())};
}

RunManifest together(const RunManifest& a, const RunManifest& b) {
  RunManifest both = a;
  both.shards.numbers = united(a.shards.numbers, b.shards.numbers);
  both.runs = united(a.runs, b.runs);
  both.fleets = united(a.fleets, b.fleets);
  both.problems.clear();
  std::set_union(a.problems.begin(), a.problems.end(), b.problems.begin(), b.problems.end(),
                 std::back_inserter(both.problems), problem_before);
  both.passed_over = std::max(a.passed_over, b.passed_over);
  return both;
}

std::string why_not_together(const RunManifest& a, const RunManifest& b) {
  if (a.version != b.version)
    return fmt::format("judged by version {}, not {}", b.version, a.version);
  if (a.recent != b.recent)
    return fmt::format("judged with --recent {}, not {}", b.recent, a.recent);
  if (a.judged_by != b.judged_by)
    return "judged with other options (--no-learn, --vehicle-by, --column or constants)";
  if (a.shards.count != b.shards.count)
    return fmt::format("{}, not of {}", words_of(b.shards), a.shards.count);
  for (const std::size_t number : b.shards.numbers) {
    if (std::binary_search(a.shards.numbers.begin(), a.shards.numbers.end(), number))
      return fmt::format("shard {} once more", number);
  }
  return "";
}

std::string manifest_line(const RunManifest& manifest) {
  Json json;
  json["schema"] = k_manifest_schema;
  json["version"] = manifest.version;
  json["judged_by"] = manifest.judged_by;
  json["recent"] = manifest.recent;
  json["shards"] = {{"count", manifest.shards.count}, {"numbers", manifest.shards.numbers}};
  json["runs"] = manifest.runs;
  json["fleets"] = Json::array();
  for (const FleetSeen& seen : manifest.fleets)
    json["fleets"].push_back({{"vehicles", seen.vehicles}, {"hash", seen.hash}});
  json["problems"] = problems_json(manifest.problems);
  json["passed_over"] = manifest.passed_over;
  return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string vehicle_line(std::string_view id, const std::string& record) {
  return as_word(id) + (record.empty() ? "" : " " + record) + "\n";
}

std::string list_end() { return std::string(k_end) + "\n"; }

Error ManifestReader::damaged() const {
  return {ErrorKind::input,
          {path_},
          "this list of results is damaged or of another version",
          "",
          "run the fleet with this store again"};
}

std::optional<std::string> ManifestReader::next_line() {
  std::size_t end = 0;
  while ((end = ahead_.find('\n', at_)) == std::string::npos) {
    ahead_.erase(0, at_);
    at_ = 0;
    std::string block(k_block, '\0');
    const ssize_t got = ::read(file_.get(), block.data(), block.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return std::nullopt;
    ahead_.append(block, 0, static_cast<std::size_t>(got));
  }
  std::string line = ahead_.substr(at_, end - at_);
  at_ = end + 1;
  return line;
}

Result<ManifestReader> ManifestReader::open(const std::string& path) {
  ManifestReader reader(path, OwnedFile(::open(path.c_str(), O_RDONLY | O_CLOEXEC)));
  if (!reader.file_.open())
    return Error{ErrorKind::input,
                 {path},
                 "cannot be read: there are no results of a completed run here",
                 "",
                 "run the fleet with --store, and name the store"};
  const auto line = reader.next_line();
  if (!line) return reader.damaged();
  // The only exceptions are the library's, for a line that is not what this version writes.
  try {
    reader.manifest_ = manifest_in(Json::parse(*line));
  } catch (const std::exception&) {
    return reader.damaged();
  }
  return reader;
}

Result<std::optional<ListedVehicle>> ManifestReader::next() {
  if (ended_) return std::optional<ListedVehicle>();
  const auto line = next_line();
  if (!line) return damaged();
  if (*line == k_end) {
    ended_ = true;
    return std::optional<ListedVehicle>();
  }
  const std::size_t blank = std::min(line->find(' '), line->size());
  auto id = from_word(std::string_view(*line).substr(0, blank));
  if (!id) return damaged();
  return std::optional(
      ListedVehicle{std::move(*id), blank < line->size() ? line->substr(blank + 1) : ""});
}

} // namespace coolband
