// SPDX-License-Identifier: Apache-2.0
// zlib does the unpacking and checks the sums; what is done at the end of a member is ours.
#include "import/gzip_source.hpp"

#include "import/input_error.hpp"

#include <algorithm>
#include <cstring>
#include <limits>

#include <fmt/core.h>
#include <zlib.h>

namespace coolband {

namespace {

constexpr std::size_t k_packed_block_bytes = std::size_t{64} * 1024;
/// The largest window of deflate, and 16: gzip data and nothing else (zlib's manual, inflateInit2).
constexpr int k_gzip_only = MAX_WBITS + 16;

Error nothing_unpacked(const std::string& name, const std::string& fault) {
  return input_error({name, 0, 0}, fault, {}, "get the file again; gzip -t FILE tests it");
}

} // namespace

void GzipSource::Closer::operator()(z_stream_s* stream) const {
  inflateEnd(stream);
  delete stream;
}

GzipSource::GzipSource(ByteSource& packed, std::string name)
    : packed_(&packed), name_(std::move(name)), stream_(new z_stream{}),
      input_(k_packed_block_bytes) {
  if (inflateInit2(stream_.get(), k_gzip_only) != Z_OK)
    stop("the gzip data cannot be unpacked: out of memory", false);
}

Result<std::size_t> GzipSource::read(char* into, std::size_t size) {
  const auto room = std::min<std::size_t>(size, std::numeric_limits<uInt>::max());
  stream_->next_out = reinterpret_cast<Bytef*>(into);
  stream_->avail_out = static_cast<uInt>(room);
  std::size_t produced = 0;
  while (room > 0 && produced == 0 && !ended_) {
    auto error = between_members_ ? next_member() : step(produced);
    if (error) return *error;
  }
  if (ended_ && given_ == 0 && !fault_.empty()) return nothing_unpacked(name_, fault_);
  return produced;
}

/// Unpacks what is there; reads on only when that gave nothing, so that no pipe is waited for
/// while there is text to hand out.
std::optional<Error> GzipSource::step(std::size_t& produced) {
  const uInt room = stream_->avail_out;
  const int code = inflate(stream_.get(), Z_NO_FLUSH);
  produced = room - stream_->avail_out;
  given_ += produced;
  if (code == Z_STREAM_END) {
    ++members_;
    between_members_ = true;
  } else if (code != Z_OK && code != Z_BUF_ERROR) {
    damaged();
  } else if (produced == 0) {
    if (auto error = refill()) return error;
    if (source_ended_) {
      stop(given_ == 0 ? "the gzip data ends before any text"
                       : fmt::format("the gzip data ends early: the log is read as far as it goes, "
                                     "{} bytes of text",
                                     given_),
           true);
    }
  }
  return std::nullopt;
}

std::optional<Error> GzipSource::refill() {
  const auto got = packed_->read(input_.data(), input_.size());
  if (!got) return got.error();
  source_ended_ = *got == 0;
  stream_->next_in = reinterpret_cast<Bytef*>(input_.data());
  stream_->avail_in = static_cast<uInt>(*got);
  return std::nullopt;
}

/// Behind a member may come another, zeros, or the end.
std::optional<Error> GzipSource::next_member() {
  while (stream_->avail_in > 0 && *stream_->next_in == 0) {
    ++stream_->next_in;
    --stream_->avail_in;
  }
  if (stream_->avail_in > 0) {
    inflateReset(stream_.get());
    between_members_ = false;
    member_start_ = given_;
    return std::nullopt;
  }
  if (auto error = refill()) return error;
  if (source_ended_) stop({}, false);
  return std::nullopt;
}

void GzipSource::stop(std::string fault, bool cut) {
  ended_ = true;
  cut_ = cut;
  fault_ = std::move(fault);
}

void GzipSource::damaged() {
  const std::string_view why = stream_->msg == nullptr ? std::string_view() : stream_->msg;
  if (members_ > 0 && given_ == member_start_) {
    stop(fmt::format("what stands behind the gzip data ({} bytes of text) is no sound gzip data "
                     "and is not used",
                     given_),
         false);
  } else if (given_ == 0) {
    stop("the gzip data is damaged at its start", true);
  } else if (why == "incorrect data check" || why == "incorrect length check") {
    stop(fmt::format("the gzip data does not match its check sum: something in bytes {} to {} of "
                     "the text may be wrong",
                     member_start_ + 1, given_),
         false);
  } else {
    stop(fmt::format("the gzip data is damaged: the log is read up to there, {} bytes of text, and "
                     "what stands last may be wrong",
                     given_),
         true);
  }
}

} // namespace coolband
