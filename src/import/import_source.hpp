// SPDX-License-Identifier: Apache-2.0
// The import from any source of bytes; `import_log` and `import_text` are its public faces.
#pragma once

#include "coolband/import/import_log.hpp"
#include "import/byte_source.hpp"

#include <string>

namespace coolband {

Result<Recording> import_source(ByteSource& source, const std::string& name,
                                const ImportOptions& options);

} // namespace coolband
