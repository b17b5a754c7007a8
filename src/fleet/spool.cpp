// SPDX-License-Identifier: Apache-2.0
// Text that is put aside.
#include "fleet/spool.hpp"

#include "core/write_all.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <vector>

#include <fcntl.h>
#include <unistd.h>

namespace coolband {

namespace {

std::string usual_folder() {
  const char* named = std::getenv("TMPDIR");
  return named != nullptr && *named != '\0' ? named : "/tmp";
}

Error lost(const std::string& why) {
  return {ErrorKind::input, {}, "results that were put aside cannot be read: " + why, "", ""};
}

} // namespace

std::optional<Error> copy_range(int file, std::size_t offset, std::size_t length,
                                const TextSink& sink) {
  std::vector<char> block(std::min<std::size_t>(length, std::size_t{64} * 1024));
  while (length > 0) {
    const ssize_t got =
        ::pread(file, block.data(), std::min(block.size(), length), static_cast<off_t>(offset));
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return lost(std::strerror(errno));
    if (got == 0) return lost("the file is too short");
    if (auto error = sink({block.data(), static_cast<std::size_t>(got)})) return error;
    offset += static_cast<std::size_t>(got);
    length -= static_cast<std::size_t>(got);
  }
  return std::nullopt;
}

std::optional<Error> Spool::move_to_file() {
  if (!file_.open()) {
    std::string name = (folder_.empty() ? usual_folder() : folder_) + "/.coolband-XXXXXX";
    file_ = OwnedFile(mkostemp(name.data(), O_CLOEXEC));
    if (!file_.open()) return write_error(name, errno);
    unlink(name.c_str());
  }
  if (const int why = write_all(file_.get(), text_)) return write_error("temporary file", why);
  in_file_ += text_.size();
  text_.clear();
  return std::nullopt;
}

std::optional<Error> Spool::add(std::string_view text) {
  text_ += text;
  return text_.size() > k_most_in_memory ? move_to_file() : std::nullopt;
}

std::optional<Error> Spool::copy(std::size_t offset, std::size_t length,
                                 const TextSink& sink) const {
  if (offset < in_file_) {
    const std::size_t from_file = std::min(length, in_file_ - offset);
    if (auto error = copy_range(file_.get(), offset, from_file, sink)) return error;
    offset += from_file;
    length -= from_file;
  }
  if (length == 0) return std::nullopt;
  return sink(std::string_view(text_).substr(offset - in_file_, length));
}

void Spool::clear() {
  text_.clear();
  file_ = OwnedFile();
  in_file_ = 0;
}

} // namespace coolband
