// SPDX-License-Identifier: Apache-2.0
// Files of a fleet's run: read whole, written whole or not at all, named after a vehicle safely.
#pragma once

#include "coolband/core/result.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace coolband {

/// A file descriptor that closes itself.
class OwnedFile {
 public:
  explicit OwnedFile(int descriptor = -1) : descriptor_(descriptor) {}
  OwnedFile(OwnedFile&& other) noexcept : descriptor_(other.descriptor_) { other.descriptor_ = -1; }
  OwnedFile& operator=(OwnedFile&& other) noexcept;
  OwnedFile(const OwnedFile&) = delete;
  OwnedFile& operator=(const OwnedFile&) = delete;
  ~OwnedFile();

  [[nodiscard]] int get() const { return descriptor_; }
  [[nodiscard]] bool open() const { return descriptor_ >= 0; }

 private:
  int descriptor_;
};

/// "cannot write: No space left on device", of kind output.
Error write_error(const std::string& path, int why);

enum class IfThere { replace, keep };

/// A file that comes into being under its name whole, on the disk, or not at all. Not finished, it
/// leaves nothing behind (a killed run may leave ".coolband-*" in the folder).
class PendingFile {
 public:
  /// In the folder of `path`, which must be there.
  static Result<PendingFile> begin(const std::string& path);
  PendingFile(PendingFile&&) = default;
  PendingFile& operator=(PendingFile&&) = delete;
  PendingFile(const PendingFile&) = delete;
  PendingFile& operator=(const PendingFile&) = delete;
  ~PendingFile();

  std::optional<Error> write(std::string_view bytes);
  /// Syncs and gives the name. With `keep` a file that is there stays and this one goes: false.
  Result<bool> finish(IfThere if_there);
  [[nodiscard]] int descriptor() const { return file_.get(); }

 private:
  PendingFile(std::string path, std::string temporary, OwnedFile file)
      : path_(std::move(path)), temporary_(std::move(temporary)), file_(std::move(file)) {}

  std::string path_;
  std::string temporary_;
  OwnedFile file_;
};

Result<bool> write_whole(const std::string& path, std::string_view text, IfThere if_there);

/// Makes the folder and those above it. Error (kind output) where that fails.
std::optional<Error> make_folders(const std::string& path);

/// Removes what killed runs left half written in a folder.
void remove_half_written(const std::string& folder);

/// A vehicle's id as a file name: letters, digits, '.', '_' and '-' as they are, everything else
/// (and a leading '.') as "%" and two digits; a long id is cut and told apart by its hash. Never
/// empty, never a path.
std::string file_name_of(std::string_view id);

} // namespace coolband
