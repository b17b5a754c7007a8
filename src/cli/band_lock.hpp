// SPDX-License-Identifier: Apache-2.0
// A band file is changed by one process at a time.
#pragma once

#include "coolband/core/result.hpp"
#include "fleet/small_file.hpp"

#include <optional>
#include <string>

namespace coolband::cli {

/// Held from reading a band file to writing it again, so that no change of another process in
/// between is lost. It is a lock on the hidden file `.coolband.lock` in the band's folder, not on
/// the band, whose file is another one after each change. The file goes with the lock; a killed
/// process may leave it, and the next one takes it over.
class BandLock {
 public:
  /// Waits for whoever holds it. Error (kind output) where no file can be made in the folder.
  static Result<BandLock> take(const std::string& band);
  BandLock(BandLock&&) = default;
  BandLock& operator=(BandLock&&) = delete;
  BandLock(const BandLock&) = delete;
  BandLock& operator=(const BandLock&) = delete;
  ~BandLock();

 private:
  BandLock(std::string path, OwnedFile file) : path_(std::move(path)), file_(std::move(file)) {}

  std::string path_;
  OwnedFile file_;
};

/// The text of a regular file; nothing where there is none that can be read. A pipe or a terminal
/// would be waited on.
std::optional<std::string> text_in(const std::string& path);

} // namespace coolband::cli
