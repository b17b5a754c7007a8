// SPDX-License-Identifier: Apache-2.0
// The band and the profile of a vehicle.
#include "fleet/vehicle_files.hpp"

#include "coolband/band/band_file.hpp"
#include "core/text_file.hpp"
#include "fleet/content_hash.hpp"
#include "fleet/folder_walk.hpp"
#include "fleet/small_file.hpp"

#include <algorithm>
#include <utility>

#include <sys/stat.h>

namespace coolband {

namespace {

bool is_file(const std::string& path) {
  struct stat status {};
  return ::stat(path.c_str(), &status) == 0 && S_ISREG(status.st_mode);
}

void add_once(std::vector<std::string>& paths, std::string path) {
  if (std::find(paths.begin(), paths.end(), path) == paths.end()) paths.push_back(std::move(path));
}

/// The vehicle's own folders, then those around them.
struct Surroundings {
  std::vector<std::string> own;
  std::vector<std::string> around;
};

Surroundings surroundings_of(const FleetPlan& plan, std::size_t vehicle) {
  Surroundings result;
  for (const Place& place : plan.places_of(vehicle)) {
    const std::string path = plan.path_of(place);
    // A log may lie among those of other vehicles: only names that say the vehicle count there.
    if (!place.folder) {
      add_once(result.around, folder_of(path));
      continue;
    }
    add_once(result.own, path);
    add_once(result.around, folder_of(path));
  }
  return result;
}

std::string first_there(const std::vector<std::string>& paths) {
  const auto found = std::find_if(paths.begin(), paths.end(), is_file);
  return found == paths.end() ? "" : *found;
}

std::vector<std::string> band_paths(const Surroundings& where, const std::string& id,
                                    const std::string& bands) {
  const std::string name = file_name_of(id) + ".band.json";
  std::vector<std::string> paths;
  if (!bands.empty()) paths.push_back(joined_path(bands, name));
  for (const std::string& folder : where.own) {
    paths.push_back(joined_path(folder, "band.json"));
    paths.push_back(joined_path(folder, name));
  }
  for (const std::string& folder : where.around) paths.push_back(joined_path(folder, name));
  return paths;
}

std::vector<std::string> profile_paths(const Surroundings& where, const std::string& id,
                                       const std::string& bands) {
  const std::string name = file_name_of(id);
  std::vector<std::string> paths;
  if (!bands.empty()) paths.push_back(joined_path(bands, name + ".vehicle.json"));
  for (const std::string& folder : where.own) paths.push_back(joined_path(folder, "vehicle.json"));
  for (const auto* folders : {&where.own, &where.around}) {
    for (const std::string& folder : *folders) {
      paths.push_back(joined_path(folder, name + ".vehicle.json"));
      // So general a name is a profile's only if the file says so.
      const std::string plain = joined_path(folder, name + ".json");
      if (is_file(plain) && is_own_file(plain)) paths.push_back(plain);
    }
  }
  return paths;
}

void refuse(VehicleFiles& files, const Error& error, const std::string& path) {
  files.problems.push_back(problem_of(error, path));
}

/// The text of a file; empty where there is none, or it cannot be read.
std::string text_of(VehicleFiles& files, const std::string& path) {
  if (path.empty()) return "";
  auto text = read_text_file(path);
  if (text) return std::move(*text);
  refuse(files, text.error(), path);
  return "";
}

void check_names(VehicleFiles& files, const std::string& id) {
  const auto wrong = [&](const std::string& path, const std::string& what, const std::string& of) {
    files.problems.push_back({path, 0, 0,
                              "this " + what + " is of '" + of + "', the logs are of '" + id + "'",
                              "give the vehicle its own, or assign the logs in another way"});
  };
  const std::string written = id_as_written(id);
  const auto is_its = [&](const std::string& name) { return name == id || name == written; };
  if (files.profile && !is_its(files.profile->id))
    wrong(files.profile_path, "profile", files.profile->id);
  if (files.band && !files.band->vehicle.empty() && !is_its(files.band->vehicle))
    wrong(files.band_path, "band", files.band->vehicle);
}

} // namespace

std::string band_path_in(const std::string& bands, const std::string& id) {
  return joined_path(bands, file_name_of(id) + ".band.json");
}

std::string VehicleFiles::hash() const {
  return hex_of(hash_of(band_path + '\n' + profile_path + '\n')) + hex_of(hash_of(band_text)) +
         hex_of(hash_of(profile_text));
}

void take_own_band(VehicleFiles& files, const NormalBand& band, OwnMark mark) {
  OwnBand own = make_own_band(band, mark, files.band_path);
  files.fingerprint = std::move(own.fingerprint);
  files.band_text = std::move(own.written.text);
  // What is judged by is what is written: the file's numbers, not those behind them.
  if (!own.written.band) return refuse(files, own.written.band.error(), files.band_path);
  files.band = std::move(*own.written.band);
  files.mark = mark;
}

void understand(VehicleFiles& files, const std::string& id) {
  if (!files.profile_text.empty()) {
    auto profile = parse_profile(files.profile_text, files.profile_path);
    if (profile)
      files.profile = std::move(*profile);
    else
      refuse(files, profile.error(), files.profile_path);
  }
  if (!files.band_text.empty()) {
    auto band = parse_band(files.band_text, files.band_path);
    if (!band) return refuse(files, band.error(), files.band_path);
    files.band = std::move(*band);
    files.fingerprint = fingerprint_of(*files.band);
    files.mark = own_mark(*files.band, files.fingerprint);
  }
  check_names(files, id);
}

VehicleFiles files_of(const FleetPlan& plan, std::size_t vehicle, const std::string& bands) {
  const std::string& id = plan.id_of(vehicle);
  const Surroundings where = surroundings_of(plan, vehicle);
  VehicleFiles files;
  files.profile_path = first_there(profile_paths(where, id, bands));
  files.profile_text = text_of(files, files.profile_path);
  files.band_path = first_there(band_paths(where, id, bands));
  files.band_text = text_of(files, files.band_path);
  return files;
}

} // namespace coolband
