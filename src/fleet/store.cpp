// SPDX-License-Identifier: Apache-2.0
// What a fleet's runs keep on disk.
#include "fleet/store.hpp"

#include "core/text_file.hpp"
#include "fleet/content_hash.hpp"

#include <cerrno>
#include <charconv>
#include <cstring>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view k_store_schema = "coolband.store/1";
constexpr std::string_view k_trailer = "coolband.vehicle-results/1";
/// Magic, then reports' size, record's size, both fingerprints, each behind a blank; a newline.
constexpr std::size_t k_trailer_size = 26 + 4 * 17 + 1;
/// Vehicles' files lie in so many folders, so that none of them grows too large.
constexpr unsigned k_shelves = 256;

std::string shelf(const std::string& folder, unsigned number) {
  return fmt::format("{}/vehicles/{:02x}", folder, number);
}

std::string trailer(std::uint64_t reports_size, std::uint64_t record_size, std::uint64_t reports,
                    std::uint64_t record) {
  return fmt::format("{} {:016x} {:016x} {:016x} {:016x}\n", k_trailer, reports_size, record_size,
                     reports, record);
}

struct Trailer {
  std::uint64_t reports_size = 0;
  std::uint64_t record_size = 0;
  std::uint64_t reports_hash = 0;
  std::uint64_t record_hash = 0;
};

std::optional<Trailer> parse_trailer(std::string_view text) {
  Trailer result;
  if (text.size() != k_trailer_size || !text.starts_with(k_trailer) || text.back() != '\n')
    return std::nullopt;
  std::size_t at = k_trailer.size();
  for (auto* field :
       {&result.reports_size, &result.record_size, &result.reports_hash, &result.record_hash}) {
    const char* first = text.data() + at + 1;
    const auto [end, error] = std::from_chars(first, first + 16, *field, 16);
    if (text[at] != ' ' || error != std::errc() || end != first + 16) return std::nullopt;
    at += 17;
  }
  return result;
}

std::optional<std::string> bytes_at(int file, std::uint64_t offset, std::uint64_t size) {
  std::string text;
  const auto error = copy_range(file, offset, size, [&](std::string_view piece) {
    text += piece;
    return std::optional<Error>();
  });
  return error ? std::nullopt : std::optional(std::move(text));
}

/// What `store.json` says; of a new store nothing is completed.
struct StoreState {
  std::size_t completed_runs = 0;
  bool under_way = false;
  std::optional<Shards> shards;
};

std::string state_text(const StoreState& state) {
  Json json;
  json["schema"] = k_store_schema;
  json["completed_runs"] = state.completed_runs;
  if (state.shards)
    json["shards"] = {{"count", state.shards->count}, {"numbers", state.shards->numbers}};
  if (state.under_way) json["under_way"] = true;
  return json.dump(2) + "\n";
}

StoreState store_state_in(const Json& json) {
  if (json.at("schema") != k_store_schema || !json.at("completed_runs").is_number_unsigned())
    throw std::runtime_error("another schema");
  StoreState state;
  state.completed_runs = json.at("completed_runs");
  state.under_way = json.value("under_way", false);
  if (json.contains("shards"))
    state.shards = Shards{json["shards"].at("count"), json["shards"].at("numbers")};
  return state;
}

Result<StoreState> store_state(const std::string& folder) {
  const std::string path = folder + "/store.json";
  struct stat status {};
  if (::stat(path.c_str(), &status) != 0) return StoreState{};
  const auto text = read_text_file(path);
  if (!text) return text.error();
  // The only exceptions are the library's, for a file that is not what this version writes.
  try {
    return store_state_in(Json::parse(*text));
  } catch (const std::exception&) {
    return Error{ErrorKind::usage,
                 {path},
                 "this is no store that this version of coolband can use",
                 "",
                 "name another folder with --store, or remove this one"};
  }
}

std::optional<Error> write_state(const std::string& folder, const StoreState& state) {
  const auto written = write_whole(folder + "/store.json", state_text(state), IfThere::replace);
  return written ? std::nullopt : std::optional(written.error());
}

std::string list_path(const std::string& folder) { return folder + "/vehicles.list"; }

Error in_use(const std::string& folder, int lock) {
  char text[32] = {};
  const ssize_t got = ::pread(lock, text, sizeof text - 1, 0);
  const std::string by =
      got > 1 ? fmt::format(" (process {})", std::string(text, text + got - 1)) : std::string();
  return {ErrorKind::output,
          {folder},
          "another run" + by + " is at work in this store",
          "",
          "let it end, or wait for it with --wait"};
}

/// The lock goes with the process, however that ends.
Result<OwnedFile> locked(const std::string& folder, bool wait) {
  const std::string path = folder + "/lock";
  OwnedFile file(::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666));
  if (!file.open()) return write_error(path, errno);
  int result = ::flock(file.get(), LOCK_EX | LOCK_NB);
  if (result != 0 && errno == EWOULDBLOCK) {
    if (!wait) return in_use(folder, file.get());
    do result = ::flock(file.get(), LOCK_EX);
    while (result != 0 && errno == EINTR);
  }
  if (result != 0) return write_error(path, errno);
  const std::string owner = fmt::format("{}\n", ::getpid());
  if (::ftruncate(file.get(), 0) != 0 || ::pwrite(file.get(), owner.data(), owner.size(), 0) < 0)
    return write_error(path, errno);
  return file;
}

} // namespace

Result<Store> Store::open(const std::string& folder, bool wait) {
  if (auto error = make_folders(folder)) return *error;
  auto lock = locked(folder, wait);
  if (!lock) return lock.error();
  auto state = store_state(folder);
  if (!state) return state.error();
  remove_half_written(folder);
  for (unsigned i = 0; i < k_shelves; ++i) remove_half_written(shelf(folder, i));
  Store store(folder, std::move(*lock));
  store.run_ = state->completed_runs + 1;
  store.shards_ = std::move(state->shards);
  return store;
}

std::string vehicle_path(const std::string& folder, const std::string& id) {
  return fmt::format("{}/{}.trips", shelf(folder, static_cast<unsigned>(hash_of(id) % k_shelves)),
                     file_name_of(id));
}

std::string Store::path_of(const std::string& id) const { return vehicle_path(folder_, id); }

std::optional<StoredVehicle> read_vehicle_file(const std::string& path) {
  StoredVehicle stored;
  stored.file = OwnedFile(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  struct stat status {};
  if (!stored.file.open() || ::fstat(stored.file.get(), &status) != 0) return std::nullopt;
  const auto size = static_cast<std::uint64_t>(status.st_size);
  if (size < k_trailer_size) return std::nullopt;
  const auto end = bytes_at(stored.file.get(), size - k_trailer_size, k_trailer_size);
  const auto told = end ? parse_trailer(*end) : std::nullopt;
  if (!told || told->reports_size > size || told->record_size > size ||
      told->reports_size + told->record_size + k_trailer_size != size)
    return std::nullopt;
  const auto text = bytes_at(stored.file.get(), told->reports_size, told->record_size);
  if (!text || hash_of(*text) != told->record_hash) return std::nullopt;
  auto record = parse_record(*text);
  if (!record) return std::nullopt;
  stored.record = std::move(*record);
  stored.reports_size = told->reports_size;
  stored.reports_hash = told->reports_hash;
  return stored;
}

bool StoredVehicle::reports_whole() const {
  ContentHash hash;
  const auto error = copy_reports([&](std::string_view piece) {
    hash.add(piece);
    return std::optional<Error>();
  });
  return !error && hash.value() == reports_hash;
}

std::optional<Error> StoredVehicle::copy_reports(const TextSink& sink) const {
  return copy_range(file.get(), 0, reports_size, sink);
}

std::optional<StoredVehicle> Store::read(const std::string& id) const {
  auto stored = read_vehicle_file(path_of(id));
  if (!stored || (stored->record.id != id && stored->record.id != id_as_written(id)))
    return std::nullopt;
  stored->record.id = id;
  return stored;
}

Result<PendingFile> Store::begin_vehicle(const std::string& id) const {
  const std::string path = path_of(id);
  if (auto error = make_folders(path.substr(0, path.find_last_of('/')))) return *error;
  return PendingFile::begin(path);
}

std::optional<Error> finish_vehicle(PendingFile& file, const VehicleRecord& record,
                                    std::size_t reports_size, std::uint64_t reports_hash) {
  std::string text = record_json(record) + "\n";
  const std::uint64_t record_hash = hash_of(text);
  text += trailer(reports_size, text.size(), reports_hash, record_hash);
  if (auto error = file.write(text)) return error;
  const auto finished = file.finish(IfThere::replace);
  return finished ? std::nullopt : std::optional(finished.error());
}

std::optional<Error> put_vehicle(const Store& store, const VehicleRecord& record,
                                 const CopyReports& reports) {
  auto file = store.begin_vehicle(record.id);
  if (!file) return file.error();
  ContentHash hash;
  std::size_t size = 0;
  const auto error = reports([&](std::string_view piece) {
    hash.add(piece);
    size += piece.size();
    return file->write(piece);
  });
  return error ? error : finish_vehicle(*file, record, size, hash.value());
}

std::optional<Error> Store::begin_run(const Shards& shards) const {
  return write_state(folder_, {run_ - 1, true, shards});
}

std::optional<Error> Store::complete(const RunManifest& manifest, const Spool& vehicles) const {
  auto list = PendingFile::begin(list_path(folder_));
  if (!list) return list.error();
  const auto put = [&](std::string_view text) { return list->write(text); };
  auto error = put(manifest_line(manifest));
  if (!error) error = vehicles.copy_all(put);
  if (!error) error = put(list_end());
  if (error) return error;
  const auto listed = list->finish(IfThere::replace);
  if (!listed) return listed.error();
  // What the next run relies on must not be on the disk before what it says is done.
  if (::syncfs(lock_.get()) != 0) return write_error(folder_, errno);
  return write_state(folder_, {manifest.run(), false, manifest.shards});
}

Result<CompletedStore> open_completed(const std::string& folder) {
  const auto refused = [&](const std::string& what, const std::string& remedy) {
    return Error{ErrorKind::input, {folder}, what, "", remedy};
  };
  OwnedFile lock(::open((folder + "/lock").c_str(), O_RDONLY | O_CLOEXEC));
  if (!lock.open()) return refused("this is no store", "name a folder that --store wrote");
  if (::flock(lock.get(), LOCK_SH | LOCK_NB) != 0 && errno == EWOULDBLOCK)
    return refused("a run is at work in this store", "let it end");
  const auto state = store_state(folder);
  if (!state) return state.error();
  if (state->under_way || state->completed_runs == 0)
    return refused("the last run in this store was not completed", "run it again to its end");
  auto list = ManifestReader::open(list_path(folder));
  if (!list) return list.error();
  return CompletedStore{folder, std::move(lock), std::move(*list)};
}

} // namespace coolband
