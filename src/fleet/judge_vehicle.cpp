// SPDX-License-Identifier: Apache-2.0
// One vehicle of a fleet: look, learn, judge, put away.
#include "fleet/judge_vehicle.hpp"

#include "band/history.hpp"
#include "coolband/version.hpp"
#include "fleet/content_hash.hpp"
#include "fleet/judge_log.hpp"
#include "fleet/outlook.hpp"
#include "fleet/vehicle_band.hpp"

#include <algorithm>
#include <cmath>

#include <sys/stat.h>

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_there(const std::string& path) {
  struct stat status {};
  return ::stat(path.c_str(), &status) == 0;
}

std::string import_words(const ImportOptions& import) {
  std::string text;
  for (const ColumnChoice& c : import.columns)
    text += fmt::format("{}={}:{}\n", name_of(c.role), c.heading, c.unit);
  for (const Constant& c : import.constants)
    text += fmt::format("{}={}\n", name_of(c.role), c.value);
  return text;
}

/// Where each line of the stored reports begins, and where the last one ends.
std::vector<std::size_t> line_starts(const StoredVehicle& stored) {
  std::vector<std::size_t> starts{0};
  std::size_t at = 0;
  (void)stored.copy_reports([&](std::string_view piece) {
    for (std::size_t i = piece.find('\n'); i != std::string_view::npos; i = piece.find('\n', i + 1))
      starts.push_back(at + i + 1);
    at += piece.size();
    return std::optional<Error>();
  });
  return starts;
}

class VehicleWork {
 public:
  VehicleWork(const FleetPlan& plan, std::size_t vehicle, const FleetSettings& settings,
              const Store* store)
      : plan_(plan), vehicle_(vehicle), id_(plan.id_of(vehicle)), settings_(settings),
        store_(store), shelf_(settings, plan.by_column ? &id_ : nullptr),
        result_{{}, false, 0, Spool(store != nullptr ? store->folder() : std::string()), {}} {}

  Result<VehicleResult> run() {
    look();
    if (nothing_new()) return hand_over_stored();
    understand(files_, id_);
    if (!files_.problems.empty()) return hand_over();
    settle_band();
    if (auto error = judge()) return *error;
    const auto published = publish_band();
    if (!published) return published.error();
    // Somebody else made a band meanwhile: that one counts.
    if (!*published) return VehicleWork(plan_, vehicle_, settings_, store_).run();
    return hand_over();
  }

 private:
  void look();
  [[nodiscard]] bool nothing_new() const;
  Result<VehicleResult> hand_over_stored();
  void settle_band();
  std::optional<Error> judge();
  std::optional<Error> judge_those_due();
  Result<bool> publish_band();
  Result<VehicleResult> hand_over();
  Result<VehicleResult> store_result();
  std::optional<Error> copy_all(const TextSink& sink) const;

  [[nodiscard]] const VehicleRecord* earlier() const {
    return stored_ ? &stored_->record : nullptr;
  }
  [[nodiscard]] std::string key(const std::string& fingerprint) const;
  [[nodiscard]] std::string settings_key() const;
  [[nodiscard]] bool pages_there(const LogRecord& log) const;
  [[nodiscard]] bool all_the_same() const;
  [[nodiscard]] bool is_due(const LogWork& work) const;
  [[nodiscard]] bool needs_circuit() const;
  void forget_earlier();
  void fill_record();
  [[nodiscard]] std::vector<std::string> services();
  void number_run();
  [[nodiscard]] BandRecord band_record() const;

  const FleetPlan& plan_;
  std::size_t vehicle_;
  const std::string& id_;
  const FleetSettings& settings_;
  const Store* store_;
  LogShelf shelf_;
  VehicleFiles files_;
  FoundLogs found_;
  std::optional<StoredVehicle> stored_;
  std::vector<LogWork> logs_;
  std::string key_;
  std::string why_no_band_;
  bool band_is_new_ = false;      ///< to be written
  bool band_was_written_ = false; ///< by an earlier run: it may be replaced
  VehicleResult result_;
};

void VehicleWork::look() {
  files_ = files_of(plan_, vehicle_, settings_.bands);
  found_ = logs_of(plan_, vehicle_);
  if (store_ != nullptr) stored_ = store_->read(id_);
  logs_ = shelf_.look_at(found_.logs, earlier());
  // Stored reports that are damaged are as good as none.
  const bool needed = settings_.want_reports || !nothing_new();
  if (stored_ && needed && !stored_->reports_whole()) forget_earlier();
}

void VehicleWork::forget_earlier() {
  stored_.reset();
  logs_ = shelf_.look_at(found_.logs, nullptr);
}

bool VehicleWork::all_the_same() const {
  return earlier() != nullptr && earlier()->logs.size() == logs_.size() &&
         std::all_of(logs_.begin(), logs_.end(),
                     [](const LogWork& work) { return work.same != nullptr; });
}

/// What is kept of trips: stores that hold something else are judged again.
constexpr std::string_view k_kept = "trip-measures/1";

/// Of everything but logs, band and profile that the results depend on.
std::string VehicleWork::settings_key() const { return judged_by(settings_, plan_.by_column); }

std::string VehicleWork::key(const std::string& fingerprint) const {
  return settings_key() + hex_of(hash_of(fingerprint + '\n' + files_.profile_text));
}

/// The same logs, files and settings: there is no need to understand even the band.
bool VehicleWork::nothing_new() const {
  if (!all_the_same() || settings_.relearn || !files_.problems.empty()) return false;
  const VehicleRecord& record = *earlier();
  return record.files == files_.hash() && record.key.starts_with(settings_key()) &&
         record.problems == found_.problems && record.passed_over == found_.passed_over &&
         std::all_of(logs_.begin(), logs_.end(),
                     [&](const LogWork& work) { return pages_there(work.record); });
}

Result<VehicleResult> VehicleWork::hand_over_stored() {
  VehicleRecord& record = result_.record;
  record = stored_->record;
  record.logs.clear();
  for (LogWork& work : logs_) record.logs.push_back(std::move(work.record));
  record.state = state_of(record, settings_.recent);
  return store_result();
}

void VehicleWork::settle_band() {
  band_was_written_ = files_.mark.has_value();
  if (files_.mark && settings_.relearn) {
    files_.band.reset();
    files_.mark.reset();
    files_.fingerprint.clear();
    files_.band_text.clear();
  }
  if (!files_.band && settings_.learn) {
    // The same logs leave the same band unlearned.
    if (all_the_same() && earlier()->key == key("") && !settings_.relearn) {
      why_no_band_ = earlier()->band.why_none;
    } else {
      why_no_band_ = learn_from_logs(shelf_, logs_, id_, files_);
      band_is_new_ = files_.band.has_value();
    }
  }
  key_ = key(files_.fingerprint);
}

bool VehicleWork::is_due(const LogWork& work) const {
  if (work.judged) return false;
  if (work.same == nullptr || earlier()->key != key_) return true;
  return !pages_there(work.record);
}

bool VehicleWork::pages_there(const LogRecord& log) const {
  for (std::size_t i = 0; i < log.trips.size(); ++i) {
    if (wants_page(settings_, log.trips[i]) &&
        !is_there(settings_.pages + "/" + page_path(id_, log.path, i + 1)))
      return false;
  }
  return true;
}

std::optional<Error> VehicleWork::judge_those_due() {
  const GivenBand given(files_.band, files_.profile);
  const Judged by{id_, given, files_.profile};
  for (LogWork& work : logs_) {
    if (!is_due(work)) continue;
    if (auto error = judge_log(shelf_, settings_, by, work, result_.reports)) return error;
    // With the circuit still to come, all of them are judged again.
    if (needs_circuit()) return std::nullopt;
    shelf_.release(work);
  }
  return std::nullopt;
}

/// A band learned here does without the circuit for as long as every trip is plainly normal.
bool VehicleWork::needs_circuit() const {
  if (!files_.mark || files_.mark->circuit_tried || !settings_.learn) return false;
  return std::any_of(logs_.begin(), logs_.end(), [](const LogWork& work) {
    return std::any_of(work.record.trips.begin(), work.record.trips.end(),
                       [](const TripRecord& trip) { return !trip.plain(); });
  });
}

std::optional<Error> VehicleWork::judge() {
  if (auto error = judge_those_due()) return error;
  if (!needs_circuit()) return std::nullopt;
  band_is_new_ = true;
  if (add_circuit_to(files_)) {
    key_ = key(files_.fingerprint);
    result_.reports.clear();
    for (LogWork& work : logs_) work.judged = false;
  }
  return judge_those_due();
}

/// False where a file has appeared that must not be replaced.
Result<bool> VehicleWork::publish_band() {
  if (!band_is_new_ || settings_.bands.empty()) return true;
  if (auto error = make_folders(settings_.bands)) return *error;
  files_.band_path = band_path_in(settings_.bands, id_);
  return write_whole(files_.band_path, files_.band_text,
                     band_was_written_ ? IfThere::replace : IfThere::keep);
}

BandRecord VehicleWork::band_record() const {
  BandRecord record;
  record.why_none = why_no_band_;
  if (!files_.band) return record;
  const NormalBand& band = *files_.band;
  record.source = files_.mark ? BandSource::own : BandSource::given;
  record.path = files_.band_path;
  record.drives = band.drive_count();
  const auto rounded = [](double value) { return std::round(value * 1000.0) / 1000.0; };
  record.centre_c = rounded(band.centre_c);
  record.lower_c = rounded(band.centre_c - band.half_width_c);
  record.upper_c = rounded(band.centre_c + band.half_width_c);
  record.circuit = band.circuit.has_value();
  return record;
}

/// A band serves though its history cannot be read; that is told.
std::vector<std::string> VehicleWork::services() {
  if (!files_.band) return {};
  const auto history = history_of(*files_.band, files_.band_path);
  if (history) return service_days(*history);
  result_.record.problems.push_back(problem_of(history.error(), files_.band_path));
  return {};
}

void VehicleWork::fill_record() {
  VehicleRecord& record = result_.record;
  record.id = id_;
  if (files_.profile) record.label = files_.profile->label.value_or("");
  record.key = key_;
  record.files = files_.hash();
  record.band = band_record();
  record.profile = files_.profile_path;
  record.problems = files_.problems;
  record.problems.insert(record.problems.end(), found_.problems.begin(), found_.problems.end());
  record.passed_over = found_.passed_over;
  for (LogWork& work : logs_) {
    // Nothing is known of how trips stand of a vehicle whose band or profile cannot be used.
    if (!files_.problems.empty()) work.record.trips.clear();
    if (work.judged) result_.judged += work.record.trips.size();
    record.logs.push_back(std::move(work.record));
  }
  record.state = state_of(record, settings_.recent);
  const std::string group = files_.profile ? sibling_group(*files_.profile) : std::string();
  record.course = course_of(record, group, services());
}

/// A run that was killed and started again is the same run: what stood before it stays "before".
void VehicleWork::number_run() {
  VehicleRecord& record = result_.record;
  record.run = store_->run();
  if (earlier() == nullptr) return;
  record.before = earlier()->run == record.run ? earlier()->before : earlier()->state;
  VehicleRecord as_it_was = record;
  as_it_was.run = earlier()->run;
  as_it_was.before = earlier()->before;
  result_.unchanged = record_json(as_it_was) == record_json(*earlier());
  if (result_.unchanged) record = std::move(as_it_was);
}

std::optional<Error> VehicleWork::copy_all(const TextSink& sink) const {
  std::vector<std::size_t> starts;
  std::vector<std::size_t> first_trip;
  if (stored_) {
    starts = line_starts(*stored_);
    std::size_t trips = 0;
    for (const LogRecord& log : stored_->record.logs) {
      first_trip.push_back(trips);
      trips += log.trips.size();
    }
    first_trip.push_back(trips);
  }
  for (const LogWork& work : logs_) {
    std::optional<Error> error;
    if (work.judged) {
      error = result_.reports.copy(work.offset, work.length, sink);
    } else if (work.same != nullptr && files_.problems.empty()) {
      const std::size_t from = starts[first_trip[work.old_index]];
      const std::size_t to = starts[first_trip[work.old_index + 1]];
      error = copy_range(stored_->file.get(), from, to - from, sink);
    }
    if (error) return error;
  }
  return std::nullopt;
}

Result<VehicleResult> VehicleWork::hand_over() {
  fill_record();
  return store_result();
}

Result<VehicleResult> VehicleWork::store_result() {
  if (store_ == nullptr) return std::move(result_);
  number_run();
  if (!result_.unchanged) {
    const auto copy = [this](const TextSink& sink) { return copy_all(sink); };
    if (auto error = put_vehicle(*store_, result_.record, copy)) return *error;
  }
  result_.reports.clear();
  result_.results_path = store_->path_of(id_);
  return std::move(result_);
}

} // namespace

std::optional<Error> VehicleResult::copy_reports(const TextSink& sink) const {
  if (results_path.empty()) return reports.copy_all(sink);
  const auto stored = read_vehicle_file(results_path);
  if (stored) return stored->copy_reports(sink);
  return Error{ErrorKind::input,
               {results_path},
               "the results are gone from the store",
               "",
               "leave the store alone while a run is at work in it"};
}

Result<VehicleResult> judge_vehicle(const FleetPlan& plan, std::size_t vehicle,
                                    const FleetSettings& settings, const Store* store) {
  return VehicleWork(plan, vehicle, settings, store).run();
}

std::string judged_by(const FleetSettings& settings, bool by_column) {
  return hex_of(hash_of(fmt::format("{}\n{}\n{}\n{}\n{}", version(), k_kept, settings.learn,
                                    by_column, import_words(settings.import))));
}

VehicleRecord failed_vehicle(const std::string& id, const std::string& why) {
  VehicleRecord record;
  record.id = id;
  record.problems.push_back(
      {id, 0, 0, "this vehicle could not be judged: " + why, "judge it by itself"});
  return record;
}

} // namespace coolband
