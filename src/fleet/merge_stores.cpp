// SPDX-License-Identifier: Apache-2.0
// The results of shards put together.
#include "fleet/merge_stores.hpp"

#include <algorithm>
#include <queue>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Missing shards that are told one by one.
constexpr std::size_t k_most_told = 20;

Error refusal(const std::string& folder, const std::string& what, const std::string& remedy) {
  return {ErrorKind::usage, {folder}, what, "", remedy};
}

std::string missing_words(const Shards& shards) {
  Shards missing{shards.count, {}};
  const std::size_t all = shards.count - shards.numbers.size();
  for (std::size_t i = 1; i <= shards.count && missing.numbers.size() < k_most_told; ++i) {
    if (!std::binary_search(shards.numbers.begin(), shards.numbers.end(), i))
      missing.numbers.push_back(i);
  }
  const std::size_t more = all - missing.numbers.size();
  return words_of(missing) + (more > 0 ? fmt::format(", and {} more,", more) : "") +
         (all == 1 ? " is missing" : " are missing");
}

Error damaged_results(const std::string& path) {
  return {ErrorKind::input,
          {path},
          "the results of this vehicle are damaged or gone",
          "",
          "run its shard again, which makes them again"};
}

} // namespace

Result<StoreMerge> StoreMerge::open(const std::vector<std::string>& folders,
                                    const MergeOptions& options) {
  std::vector<Source> sources;
  RunManifest all;
  for (const std::string& folder : folders) {
    auto store = open_completed(folder);
    if (!store) return store.error();
    const RunManifest& manifest = store->list.manifest();
    const std::string why = sources.empty() ? "" : why_not_together(all, manifest);
    if (!why.empty())
      return refusal(
          folder, "this store does not go with those named before it: " + why,
          "name each shard of one split once, all judged by the same version and options");
    all = sources.empty() ? manifest : together(all, manifest);
    sources.push_back({std::move(*store), {}});
  }
  StoreMerge merge(std::move(sources), std::move(all), options);
  if (auto error = merge.check_complete()) return *error;
  return merge;
}

std::optional<Error> StoreMerge::check_complete() {
  std::vector<std::string> lacks;
  if (!manifest_.shards.complete()) lacks.push_back(missing_words(manifest_.shards));
  if (manifest_.runs.size() > 1)
    lacks.push_back(fmt::format("some shards have had {} completed runs, others {}",
                                manifest_.runs.front(), manifest_.runs.back()));
  if (!lacks.empty() && !options_.partial)
    return refusal("", lacks.front(), "run those shards, or merge what there is with --partial");
  remarks_ = std::move(lacks);
  if (manifest_.fleets.size() > 1)
    remarks_.push_back(
        fmt::format("not all shards saw the same vehicles when they began ({} or {}): "
                    "one that came meanwhile may be missing until the next run",
                    manifest_.fleets.front().vehicles, manifest_.fleets.back().vehicles));
  // What is whole is as if it had never been split.
  if (manifest_.shards.complete()) manifest_.shards = {};
  return std::nullopt;
}

std::optional<Error> StoreMerge::advance(std::size_t source) {
  auto next = sources_[source].store.list.next();
  if (!next) return next.error();
  sources_[source].next = std::move(*next);
  return std::nullopt;
}

std::optional<Error> StoreMerge::for_each(const TakeResult& take) {
  const auto later = [this](std::size_t a, std::size_t b) {
    return sources_[a].next->id > sources_[b].next->id;
  };
  std::priority_queue<std::size_t, std::vector<std::size_t>, decltype(later)> waiting(later);
  const auto queue = [&](std::size_t source) -> std::optional<Error> {
    if (auto error = advance(source)) return error;
    if (sources_[source].next) waiting.push(source);
    return std::nullopt;
  };
  for (std::size_t i = 0; i < sources_.size(); ++i) {
    if (auto error = queue(i)) return error;
  }
  while (!waiting.empty()) {
    const std::size_t first = waiting.top();
    waiting.pop();
    const auto result = result_of(sources_[first]);
    if (!result) return result.error();
    if (auto error = take(*result)) return error;
    if (auto error = queue(first)) return error;
  }
  return std::nullopt;
}

Result<VehicleResult> StoreMerge::result_of(const Source& source) const {
  VehicleResult result;
  const std::string path = vehicle_path(source.store.folder, source.next->id);
  if (!source.next->record.empty()) {
    auto record = parse_record(source.next->record);
    if (!record) return damaged_results(path);
    result.record = std::move(*record);
    return result;
  }
  auto stored = read_vehicle_file(path);
  if (!stored || (options_.verify && !stored->reports_whole())) return damaged_results(path);
  result.record = std::move(stored->record);
  result.record.id = source.next->id; // as bytes; JSON holds characters
  result.results_path = path;
  // "Changed in the last run" means the last one of its own store.
  if (result.record.run == source.store.list.manifest().run()) result.record.run = manifest_.run();
  return result;
}

std::optional<Error> copy_to_store(const Store& store, const VehicleResult& result) {
  if (result.results_path.empty()) return std::nullopt;
  return put_vehicle(store, result.record,
                     [&](const TextSink& sink) { return result.copy_reports(sink); });
}

} // namespace coolband
