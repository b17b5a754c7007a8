// SPDX-License-Identifier: Apache-2.0
// Reading a log of a fleet: only regular files, never waiting, with the fingerprint of its content.
#pragma once

#include "coolband/import/import_log.hpp"
#include "fleet/vehicle_record.hpp"

#include <string>

namespace coolband {

struct LogRead {
  Recording recording;
  FileStamp stamp;
  std::string hash;
  bool changed_meanwhile = false; ///< the file changed while it was read
};

/// Reads up to the size that the file had when it was opened. Errors (kind input): cannot be
/// opened, is no regular file, is no log.
Result<LogRead> read_log(const std::string& path, const ImportOptions& options);

/// The fingerprint alone.
Result<std::string> hash_log(const std::string& path);

/// Error (kind input): not there, or no regular file.
Result<FileStamp> stamp_of(const std::string& path);

} // namespace coolband
