// SPDX-License-Identifier: Apache-2.0
// Files of a fleet's run.
#include "fleet/small_file.hpp"

#include "core/write_all.hpp"
#include "fleet/content_hash.hpp"
#include "fleet/percent_code.hpp"

#include <cerrno>
#include <cstring>
#include <filesystem>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::string_view k_half_written = ".coolband-";
/// A name may have 255 bytes on usual file systems; extensions and the temporary need some of them.
constexpr std::size_t k_longest_name = 180;

std::string folder_of(const std::string& path) {
  return path.substr(0, path.find_last_of('/') + 1);
}

/// umask() cannot be asked without being set, which other threads would feel: so before there are
/// any.
const mode_t k_usual_mode = [] {
  const mode_t mask = umask(0);
  umask(mask);
  return static_cast<mode_t>(0666 & ~mask);
}();

} // namespace

OwnedFile& OwnedFile::operator=(OwnedFile&& other) noexcept {
  std::swap(descriptor_, other.descriptor_);
  return *this;
}

OwnedFile::~OwnedFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

Error write_error(const std::string& path, int why) {
  return {ErrorKind::output,
          {path},
          std::string("cannot write: ") + std::strerror(why),
          "",
          "check the path, its permissions and the free space"};
}

Result<PendingFile> PendingFile::begin(const std::string& path) {
  std::string temporary = folder_of(path) + std::string(k_half_written) + "XXXXXX";
  OwnedFile file(mkostemp(temporary.data(), O_CLOEXEC));
  if (!file.open()) return write_error(path, errno);
  return PendingFile(path, std::move(temporary), std::move(file));
}

PendingFile::~PendingFile() {
  if (file_.open()) unlink(temporary_.c_str());
}

std::optional<Error> PendingFile::write(std::string_view bytes) {
  if (const int why = write_all(file_.get(), bytes)) return write_error(path_, why);
  return std::nullopt;
}

Result<bool> PendingFile::finish(IfThere if_there) {
  if (fchmod(file_.get(), k_usual_mode) != 0 || fsync(file_.get()) != 0)
    return write_error(path_, errno);
  if (if_there == IfThere::replace) {
    if (rename(temporary_.c_str(), path_.c_str()) != 0) return write_error(path_, errno);
    file_ = OwnedFile();
    return true;
  }
  // A link never replaces a file that appeared in the meantime.
  const bool made = link(temporary_.c_str(), path_.c_str()) == 0;
  if (!made && errno != EEXIST) return write_error(path_, errno);
  return made;
}

Result<bool> write_whole(const std::string& path, std::string_view text, IfThere if_there) {
  auto file = PendingFile::begin(path);
  if (!file) return file.error();
  if (auto error = file->write(text)) return *error;
  return file->finish(if_there);
}

std::optional<Error> make_folders(const std::string& path) {
  std::error_code error;
  std::filesystem::create_directories(path, error);
  if (error) return write_error(path, error.value());
  if (!std::filesystem::is_directory(path, error)) return write_error(path, ENOTDIR);
  return std::nullopt;
}

void remove_half_written(const std::string& folder) {
  std::error_code error;
  for (std::filesystem::directory_iterator at(folder, error), end; !error && at != end;
       at.increment(error)) {
    if (at->path().filename().string().starts_with(k_half_written)) unlink(at->path().c_str());
  }
}

std::string file_name_of(std::string_view id) {
  constexpr std::string_view k_plain = "_-.";
  const bool hidden = id.starts_with('.');
  std::string name = (hidden ? "%2E" : "") + percent_encoded(id.substr(hidden ? 1 : 0), k_plain);
  if (name.empty()) return "%";
  if (name.size() > k_longest_name) name = name.substr(0, 150) + "~" + hex_of(hash_of(id));
  return name;
}

} // namespace coolband
